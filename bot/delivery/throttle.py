"""How much one person may write before we stop reading for a while. Arithmetic on given times."""

from __future__ import annotations

from collections import OrderedDict, deque
from datetime import datetime, timedelta
from typing import Literal, TypeAlias

MOST = 20
WITHIN = timedelta(minutes=1)
"""Twenty messages in a minute is more than anybody types (our choice, no source)."""

REMEMBERED = 10_000
"""People whose last messages are kept in mind."""

Heed: TypeAlias = Literal["read", "say-so", "quiet"]
"""Read the message; do not, and say so once; do not, and say nothing more."""


class Throttle:
    """Goes by the times at which messages were written, so that what waited while the bot was off
    does not count as a flood."""

    def __init__(self, *, most: int = MOST, within: timedelta = WITHIN) -> None:
        self._most = most
        self._within = within
        self._read: OrderedDict[str, deque[datetime]] = OrderedDict()
        self._told: set[str] = set()
        self._last: dict[str, tuple[str, Heed]] = {}

    def heed(self, chat: str, at: datetime, key: str) -> Heed:
        """What to do with the message ``key`` of this chat, written at ``at``.

        The latest message may be asked about again, while the database is away say: it counts once.
        """
        known = self._last.get(chat)
        if known is not None and known[0] == key:
            return known[1]
        heed = self._count(chat, at)
        self._last[chat] = (key, heed)
        return heed

    def _count(self, chat: str, at: datetime) -> Heed:
        read = self._read.setdefault(chat, deque(maxlen=self._most))
        self._read.move_to_end(chat)
        if len(self._read) > REMEMBERED:
            gone, _ = self._read.popitem(last=False)
            self._told.discard(gone)
            self._last.pop(gone, None)
        if len(read) < self._most or at - read[0] >= self._within:
            read.append(at)
            self._told.discard(chat)
            return "read"
        if chat in self._told:
            return "quiet"
        self._told.add(chat)
        return "say-so"
