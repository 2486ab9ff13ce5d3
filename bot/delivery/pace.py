"""How fast messages may leave, as arithmetic on given times: slots, and waits after a failure."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial

AHEAD = timedelta(seconds=0.5)
"""Slots are given out this far ahead, so that a loop that wakes late loses none of them."""

WRONG_CLOCK = timedelta(minutes=1)
"""A first free slot further ahead than this was left by a clock that ran ahead: it is ignored."""


EVENNESS = 0.99
"""The share of the rate that is given out: the rest is for clocks that do not agree to the millisecond."""


REMEMBERED = 500
"""Messages after which the shortest way of old is forgotten."""


class Gate:
    """Keeps any one second of the service's own clock within its limit, however unevenly messages
    travel: a message may start when the one that lies a whole limit before it was counted a second
    ago at least.

    The service counts a message between its start and its answer. The shortest time that one took
    lately is the way there and back; what a message took beyond that it may have spent on the way.
    """

    def __init__(self, most: int) -> None:
        self._recent: deque[_Flight] = deque(maxlen=most)
        self._shortest = [timedelta.max, timedelta.max]
        """Of the last few hundred messages, and of those before them."""
        self._ended = 0

    def opens_at(self) -> datetime | None:
        """Before this instant no message may start; None: at once."""
        if not self._recent.maxlen or len(self._recent) < self._recent.maxlen:
            return None
        first = self._recent[0]
        counted = first.started if first.ended is None else first.ended - min(self._shortest)
        return counted + timedelta(seconds=1)

    def start(self, at: datetime) -> Callable[[datetime], None]:
        """Count a message that starts now; starts are told in order. Call the result at its end."""
        flight = _Flight(at)
        self._recent.append(flight)
        return partial(self._end, flight)

    def _end(self, flight: _Flight, at: datetime) -> None:
        flight.ended = at
        self._ended += 1
        if self._ended % REMEMBERED == 0:
            self._shortest = [timedelta.max, self._shortest[0]]
        self._shortest[0] = min(self._shortest[0], at - flight.started)


@dataclass(slots=True)
class _Flight:
    started: datetime
    ended: datetime | None = None


def slots(
    *, free_at: datetime, now: datetime, want: int, per_second: float | None
) -> tuple[list[datetime], datetime]:
    """Up to ``want`` instants to send at, evenly spaced, and the first free instant after them.

    ``free_at`` is the first instant that nobody has taken. Without a rate every slot is now.

    >>> from datetime import UTC
    >>> now = datetime(2026, 3, 2, 8, tzinfo=UTC)
    >>> given, free = slots(free_at=now, now=now, want=2, per_second=10 / EVENNESS)
    >>> [(slot - now).total_seconds() for slot in given], (free - now).total_seconds()
    ([0.0, 0.1], 0.2)
    """
    if per_second is None:
        return [now] * want, now
    step = timedelta(seconds=1 / (per_second * EVENNESS))
    first = now if free_at > now + AHEAD + WRONG_CLOCK else max(free_at, now)
    room = max(0, (now + AHEAD - first) // step + 1) if first <= now + AHEAD else 0
    given = [first + step * number for number in range(min(want, room))]
    return given, first + step * len(given)


def backoff(tries: int, *, luck: float) -> timedelta:
    """How long to wait after the ``tries``-th failure: 1 s, doubling up to 5 minutes.

    ``luck`` in 0..1 spreads those who failed together over half to the whole of it.
    """
    whole = min(300.0, 2.0 ** min(tries - 1, 16))
    return timedelta(seconds=whole * (0.5 + luck / 2))
