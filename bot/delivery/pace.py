"""How fast messages may leave, as arithmetic on given times: slots, and waits after a failure."""

from __future__ import annotations

from datetime import datetime, timedelta

AHEAD = timedelta(seconds=0.5)
"""Slots are given out this far ahead, so that a loop that wakes late loses none of them."""

WRONG_CLOCK = timedelta(minutes=1)
"""A first free slot further ahead than this was left by a clock that ran ahead: it is ignored."""


def slots(
    *, free_at: datetime, now: datetime, want: int, per_second: float | None
) -> tuple[list[datetime], datetime]:
    """Up to ``want`` instants to send at, evenly spaced, and the first free instant after them.

    ``free_at`` is the first instant that nobody has taken. Without a rate every slot is now.

    >>> from datetime import UTC
    >>> now = datetime(2026, 3, 2, 8, tzinfo=UTC)
    >>> given, free = slots(free_at=now, now=now, want=2, per_second=10)
    >>> [(slot - now).total_seconds() for slot in given], (free - now).total_seconds()
    ([0.0, 0.1], 0.2)
    """
    if per_second is None:
        return [now] * want, now
    step = timedelta(seconds=1 / per_second)
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
