"""One question of ``jarside reckon``, read with care: each field as what it must be, or a clear error."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time
from typing import get_args

from bot.culture.vocabulary import Flour, Ratio
from bot.errors import InputError

LONGEST_LINE = 1_000_000
LONGEST_LIST = 5000
FLOURS: tuple[Flour, ...] = get_args(Flour)


@dataclass(frozen=True, slots=True)
class Question:
    """A JSON object whose fields are asked for by name. Every wrong one raises InputError."""

    fields: Mapping[str, object]

    def has(self, name: str) -> bool:
        return self.fields.get(name) is not None

    def number(self, name: str, default: float | None = None) -> float:
        """A finite number; ``default`` when it is absent or null."""
        value = self.fields.get(name)
        if value is None:
            if default is None:
                raise InputError(f"{name} is missing: it must be a number")
            return default
        return _number(value, name)

    def text(self, name: str) -> str:
        value = self.fields.get(name)
        if not isinstance(value, str):
            raise InputError(f"{name} is missing: it must be a text" if value is None
                             else f"{name} must be a text")  # fmt: skip
        return value

    def ratio(self, name: str = "ratio", default: Ratio | None = None) -> Ratio:
        """Starter, flour, water by weight: [1, 2, 2]."""
        value = self.fields.get(name)
        if value is None and default is not None:
            return default
        if not isinstance(value, list) or len(value) != 3:
            raise InputError(f"{name} must be a list of three numbers: [starter, flour, water]")
        starter, flour, water = (_number(part, name) for part in value)
        return (starter, flour, water)

    def flours(
        self, name: str = "flour", default: tuple[Flour, ...] = ("white",)
    ) -> tuple[Flour, ...]:
        """One flour or a list of them, equal shares."""
        value = self.fields.get(name)
        if value is None:
            return default
        named = value if isinstance(value, list) else [value]
        found = tuple(flour for flour in FLOURS if flour in named)
        unknown = [flour for flour in named if flour not in FLOURS]
        if unknown or not found:
            raise InputError(f"{name} must be one of {', '.join(FLOURS)}")
        return found

    def parts(self, name: str) -> tuple[Question, ...]:
        """A list of objects; none when it is absent."""
        value = self.fields.get(name)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(part, dict) for part in value):
            raise InputError(f"{name} must be a list of objects")
        if len(value) > LONGEST_LIST:
            raise InputError(f"{name} has {len(value)} entries: at most {LONGEST_LIST} are taken")
        return tuple(Question(part) for part in value)

    def moment(self, name: str) -> datetime:
        """An ISO 8601 time with its offset."""
        text = self.text(name)
        try:
            at = datetime.fromisoformat(text)
        except ValueError as wrong:
            raise InputError(
                f"{name} must be an ISO 8601 time such as 2026-03-07T09:00+01:00"
            ) from wrong
        if at.tzinfo is None:
            raise InputError(f"{name} has no offset from UTC: write 2026-03-07T09:00+01:00")
        if not 1900 <= at.year <= 2200:
            raise InputError(f"{name} must be in the years 1900 to 2200")
        return at

    def waking(self, name: str, default: tuple[time, time]) -> tuple[time, time]:
        """Two wall-clock times: ["07:00", "22:30"]."""
        value = self.fields.get(name)
        if value is None:
            return default
        if not isinstance(value, list) or len(value) != 2:
            raise InputError(f'{name} must be two times of day: ["07:00", "22:30"]')
        up, down = (_clock(part, name) for part in value)
        return up, down


def parsed(line: str) -> Question:
    """The object on that line. Raises InputError when it is none."""
    if len(line) > LONGEST_LINE:
        raise InputError("the line is too long")
    try:
        asked = json.loads(line)
    except (ValueError, RecursionError) as wrong:
        raise InputError("the line is not JSON") from wrong
    if not isinstance(asked, dict):
        raise InputError("the line must be a JSON object with a key ask")
    return Question(asked)


def _number(value: object, name: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise InputError(f"{name} must be a number")
    try:
        found = float(value)
    except OverflowError as wrong:
        raise InputError(f"{name} is too large") from wrong
    if not math.isfinite(found):
        raise InputError(f"{name} must be a finite number")
    return found


def _clock(value: object, name: str) -> time:
    if not isinstance(value, str):
        raise InputError(f'{name} must be two times of day: ["07:00", "22:30"]')
    if value.strip() in ("24:00", "24"):
        return time(23, 59, 59)
    try:
        at = time.fromisoformat(value.strip().zfill(5) if ":" in value else value.strip())
    except ValueError as wrong:
        raise InputError(f"{name}: {value[:20]!r} is not a time of day such as 07:00") from wrong
    return at.replace(tzinfo=None)
