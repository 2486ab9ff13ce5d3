"""The handbook's rule book: opened once, reviewed, and never changed."""

from __future__ import annotations

from functools import cache
from importlib import resources

from bot.advice.review import faults
from bot.advice.rulebook import LANGUAGE, Rulebook, load
from bot.errors import HandbookError


@cache
def rulebook() -> Rulebook:
    """The handbook's rules. Raises HandbookError naming file, rule and fault."""
    folder = resources.files("bot.handbook") / LANGUAGE / "rules"
    book = load(
        {
            file.name: file.read_text(encoding="utf-8")
            for file in folder.iterdir()
            if file.name.endswith(".toml")
        }
    )
    if found := faults(book):
        raise HandbookError(f"rules: {found[0]}")
    return book
