"""How a person at the terminal moves the clock on, in words: "+8h", "+2d", "next morning"."""

from __future__ import annotations

import re
from datetime import timedelta

FARTHEST = timedelta(days=366)

_PART = re.compile(
    r"(\d{1,6}(?:\.\d{1,3})?)\s*(minutes?|mins?|m|hours?|hrs?|h|days?|d|weeks?|w)(?![a-z])\s*"
)
_SECONDS = {"m": 60, "h": 3600, "d": 86_400, "w": 604_800}


def is_next_morning(text: str) -> bool:
    return text.strip(" .!+").casefold() == "next morning"


def move_asked(text: str) -> timedelta | None:
    """How far "+8h", "+2d" or "+1h 30m" moves the clock; None when the text is no such thing.

    A plus sign without a unit is none: "+1" may be an answer about a time zone.
    """
    stripped = text.strip().casefold()
    if not stripped.startswith("+"):
        return None
    rest = stripped[1:].lstrip()
    seconds = 0.0
    while rest:
        part = _PART.match(rest)
        if part is None:
            return None
        seconds += float(part[1]) * _SECONDS[part[2][0]]
        rest = rest[part.end() :].removeprefix("+").lstrip()
    return timedelta(seconds=seconds) if seconds else None
