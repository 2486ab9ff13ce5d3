"""The README's dialogue is what the bot says, word for word.

After a change of words: ``python -m tests.commands.test_readme`` writes it anew; read what it wrote.
"""

from __future__ import annotations

import io
import json
import re
import textwrap
from datetime import datetime
from pathlib import Path

from bot.channels.terminal import day_and_hour
from bot.commands.replay import run

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
SHOWN = re.compile(r"(?<=^```text\n).*?(?=\n```$)", re.MULTILINE | re.DOTALL)
HISTORY = ROOT / "tests" / "histories" / "readme.jsonl"
COLUMNS = 88
LONGEST = 60


def spoken() -> list[tuple[str, str, str]]:
    """Who spoke, when and what, in the order of the clock; what was said comes before its reply."""
    told = HISTORY.read_text(encoding="utf-8")
    paper = io.StringIO()
    assert run(io.StringIO(told), paper) == 0
    answers = [json.loads(line) for line in paper.getvalue().splitlines()]
    said = [json.loads(line) for line in told.splitlines()]
    rows = [
        *((one["at"], 0, "You", one["text"]) for one in said if one.get("text")),
        *((one["at"], 1, "Jarside", one["text"]) for one in answers),
    ]
    return [(who, at, text) for at, _, who, text in sorted(rows, key=lambda row: row[:2])]


def dialogue() -> str:
    """The talk as the README shows it."""
    blocks = []
    for who, at, text in spoken():
        paragraphs = [textwrap.fill(line, COLUMNS) for line in text.split("\n")]
        body = textwrap.indent("\n".join(paragraphs), "  ")
        blocks.append(f"{who}, {day_and_hour(datetime.fromisoformat(at))}\n{body}")
    return "\n\n".join(blocks)


def renew() -> None:
    README.write_text(
        SHOWN.sub(lambda _: dialogue(), README.read_text(encoding="utf-8"), count=1),
        encoding="utf-8",
    )


def test_the_readme_shows_a_real_dialogue() -> None:
    shown = SHOWN.search(README.read_text(encoding="utf-8"))

    assert shown is not None
    assert shown[0] == dialogue(), "see the top of this file"


def test_the_dialogue_is_short() -> None:
    assert len(dialogue().splitlines()) <= LONGEST


if __name__ == "__main__":
    renew()
