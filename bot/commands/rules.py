"""``jarside rules``: the whole rule base as a page to review."""

from __future__ import annotations

from typing import TextIO

from bot.voice.page import page


def run(stdout: TextIO) -> int:
    """Print the page, return the exit code. Raises HandbookError for a book that is not sound."""
    stdout.write(page())
    return 0
