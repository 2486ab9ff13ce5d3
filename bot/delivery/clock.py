"""Clocks that are moved by hand or shifted. The real one is in ``ticker.py``, and only there."""

from __future__ import annotations

import asyncio
from datetime import datetime, timedelta
from typing import Protocol


class Clock(Protocol):
    def now(self) -> datetime:
        """The present instant, aware."""
        ...

    async def sleep_until(self, at: datetime) -> None:
        """Returns when ``at`` has come; at once when it is past."""
        ...


class HandClock:
    """Stands still until it is moved; whoever sleeps moves it."""

    def __init__(self, at: datetime) -> None:
        if at.tzinfo is None:
            raise ValueError("a clock needs a zone")
        self._now = at

    def now(self) -> datetime:
        return self._now

    def move_to(self, at: datetime) -> None:
        self._now = at

    async def sleep_until(self, at: datetime) -> None:
        self._now = max(self._now, at)
        await asyncio.sleep(0)


class ShiftedClock:
    """Another clock, ahead of it by as much as it was moved: ``talk``'s "next morning"."""

    def __init__(self, base: Clock) -> None:
        self._base = base
        self._ahead = timedelta(0)

    def now(self) -> datetime:
        return self._base.now() + self._ahead

    def move_to(self, at: datetime) -> None:
        """From now on it is ``at`` or later. A clock that is asked to go back stays where it is."""
        self._ahead += max(timedelta(0), at - self.now())

    async def sleep_until(self, at: datetime) -> None:
        await self._base.sleep_until(at - self._ahead)
