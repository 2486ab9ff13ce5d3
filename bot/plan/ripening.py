"""When a feed will be ripe, by the clock: at its peak, and how long it stays good, in a kitchen that may
be cooler at night."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache

from bot.culture.curve import Feeding, share_at, work, work_past
from bot.culture.rise import forecast
from bot.culture.vigour import Vigour
from bot.plan.timeline import HOUR, Awake, Kitchen, timeline

__all__ = ["HOUR", "Awake", "Kitchen", "Ripening", "TimeSpread", "after", "before", "ripening"]

SUNK = 0.8
"""Past its peak: a fifth of the gained height is gone."""
LONGEST = timedelta(days=60)


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeSpread:
    """Instants: ``low..high`` is the central 80 %."""

    low: datetime
    median: datetime
    high: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Ripening:
    """``peak``: best to use; ``past``: sunk by a fifth of what it gained, to be fed again."""

    peak: TimeSpread
    past: TimeSpread


def ripening(
    feeding: Feeding, fed_at: datetime, kitchen: Kitchen, vigour: Vigour | None = None
) -> Ripening:
    """A feed's ripeness by the clock. ``feeding.celsius`` is taken to be the kitchen's by day."""
    peak = forecast(feeding, vigour).peak_h
    longer = work_past(feeding, _sunk_share()) / work(feeding, 1.0)
    hours = (peak.low, peak.median, peak.high)
    return Ripening(
        peak=_spread(fed_at, hours, kitchen),
        past=_spread(fed_at, tuple(longer * hour for hour in hours), kitchen),
    )


def after(start: datetime, day_hours: float, kitchen: Kitchen) -> datetime:
    """When so many hours at the day's warmth have gone by, counting a cooler night's for less."""
    line = timeline(kitchen, start, start + LONGEST)
    return line.moment(line.after(line.minute(start), day_hours))


def before(end: datetime, day_hours: float, kitchen: Kitchen) -> datetime:
    """When to start so that so many hours at the day's warmth have gone by at ``end``."""
    line = timeline(kitchen, end - LONGEST, end)
    return line.moment(line.before(line.minute(end), day_hours))


def _spread(start: datetime, hours: tuple[float, ...], kitchen: Kitchen) -> TimeSpread:
    line = timeline(kitchen, start, start + LONGEST)
    at = line.minute(start)
    low, median, high = (line.moment(line.after(at, hour)) for hour in hours)
    return TimeSpread(low=low, median=median, high=high)


@cache
def _sunk_share() -> float:
    """The work, over that of the peak, at which the height has sunk to ``SUNK`` of the gain."""
    low, high = 1.0, 4.0
    while high - low > 1e-6:
        middle = (low + high) / 2.0
        low, high = (middle, high) if share_at(middle) > SUNK else (low, middle)
    return (low + high) / 2.0
