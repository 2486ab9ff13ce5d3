"""Every sentence that code speaks, by id, from the handbook's ``lines`` files.

A line is ``{text = "..."}``, ``{texts = ["...", "..."]}`` where the wording varies, or
``{one = "...", other = "..."}`` where it depends on the number in the slot ``count``. Slots are
``{name}``. A test walks the code and holds every ``say`` to the catalogue: id, slots, length.
"""

from __future__ import annotations

import string
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from babel import Locale

from bot.errors import HandbookError

LANGUAGE = "en"


@dataclass(frozen=True, slots=True)
class Line:
    id: str
    texts: tuple[str, ...]
    plurals: tuple[tuple[str, str], ...] = ()

    @property
    def slots(self) -> frozenset[str]:
        found: set[str] = set()
        for text in (*self.texts, *(text for _, text in self.plurals)):
            found |= {name for _, name, _, _ in string.Formatter().parse(text) if name}
        return frozenset(found)


def say(line_id: str, *, vary: int = 0, **slots: object) -> str:
    """The line in words. ``vary`` chooses among wordings (a day number, say). KeyError: no such line."""
    line = lines()[line_id]
    if line.plurals:
        count = slots["count"]
        assert isinstance(count, int | float)
        form = Locale(LANGUAGE).plural_form(count)
        plurals = dict(line.plurals)
        return plurals.get(form, plurals["other"]).format(**slots)
    return line.texts[vary % len(line.texts)].format(**slots)


@cache
def lines() -> dict[str, Line]:
    """The whole catalogue. Raises HandbookError for a file that is not of the form above."""
    found: dict[str, Line] = {}
    folder = resources.files("bot.handbook") / LANGUAGE / "lines"
    for file in sorted(folder.iterdir(), key=lambda item: item.name):
        if not file.name.endswith(".toml"):
            continue
        room = file.name.removesuffix(".toml")
        try:
            table = tomllib.loads(file.read_text(encoding="utf-8"))
        except tomllib.TOMLDecodeError as wrong:
            raise HandbookError(f"lines/{file.name}: {wrong}") from wrong
        for name, body in table.items():
            line_id = f"{room}.{name}"
            found[line_id] = _line(line_id, body)
    return found


def _line(line_id: str, body: object) -> Line:
    match body:
        case {"text": str(text)}:
            return Line(line_id, (text.strip(),))
        case {"texts": [*texts]} if texts and all(isinstance(text, str) for text in texts):
            return Line(line_id, tuple(str(text).strip() for text in texts))
        case {"other": str(), **forms} if all(isinstance(text, str) for text in forms.values()):
            assert isinstance(body, dict)
            return Line(
                line_id, (), tuple((form, str(text).strip()) for form, text in body.items())
            )
        case _:
            raise HandbookError(f"line {line_id}: wants text, texts, or one and other")
