"""A clock that a person moves on: a week of mornings in two minutes. It never jumps by itself.

Between moves it runs at the pace of the real one.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta

LONGEST_MOVE = timedelta(days=366)

_PART = re.compile(
    r"(\d{1,6}(?:\.\d{1,3})?)\s*(minutes?|mins?|m|hours?|hrs?|h|days?|d|weeks?|w)(?![a-z])\s*"
)
_SECONDS = {"m": 60, "h": 3600, "d": 86_400, "w": 604_800}


class MovableClock:
    """Shows ``start`` when made; ``elapsed_s`` is any counter of seconds that never goes back."""

    def __init__(self, start: datetime, elapsed_s: Callable[[], float]) -> None:
        self._shown = start
        self._elapsed_s = elapsed_s
        self._since = elapsed_s()

    def now(self) -> datetime:
        return self._shown + timedelta(seconds=self._elapsed_s() - self._since)

    def move_to(self, at: datetime) -> None:
        """Show ``at`` from now on; an instant that has passed changes nothing."""
        if at > self.now():
            self._shown = at
            self._since = self._elapsed_s()


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
