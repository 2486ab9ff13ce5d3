"""When a feed will be ripe, by the clock: at its peak, and how long it stays good, in a kitchen that may
be cooler at night."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta

from bot.culture.curve import Feeding, share_at, work, work_past
from bot.culture.growth import pace
from bot.culture.rise import Forecast, forecast
from bot.culture.vigour import Vigour

HOUR = timedelta(hours=1)
SUNK = 0.8
"""Past its peak: a fifth of the gained height is gone."""
LONGEST_H = 24.0 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeSpread:
    """Instants: ``low..high`` is the central 80 %."""

    low: datetime
    median: datetime
    high: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Awake:
    """From when to when somebody is up, on the wall clock; ``down`` before ``up`` is past midnight.

    The same time twice is somebody who is always up.
    """

    up: time = time(7, 0)
    down: time = time(22, 30)

    def at(self, moment: datetime) -> bool:
        """True in waking hours, both ends included, on the clock of the moment's own zone."""
        clock = moment.time().replace(tzinfo=None)
        if self.up == self.down:
            return True
        if self.up < self.down:
            return self.up <= clock <= self.down
        return clock >= self.up or clock <= self.down

    def next_change(self, moment: datetime) -> datetime:
        """The next time after ``moment`` that somebody gets up or lies down."""
        zone = moment.tzinfo
        days = [(moment + timedelta(days=ahead)).date() for ahead in (0, 1, 2)]
        found = [
            datetime.combine(day, clock, tzinfo=zone).astimezone(UTC)
            for day in days
            for clock in (self.up, self.down)
        ]
        return min(at for at in found if at > moment.astimezone(UTC)).astimezone(zone)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kitchen:
    """The warmth by day and, while nobody is up, by night (None: the same), in °C."""

    celsius: float
    night_c: float | None = None
    awake: Awake = Awake()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ripening:
    """``peak``: best to use; ``past``: sunk by a fifth of what it gained, to be fed again."""

    peak: TimeSpread
    past: TimeSpread


def ripening(
    feeding: Feeding, fed_at: datetime, kitchen: Kitchen, vigour: Vigour | None = None
) -> Ripening:
    """A feed's ripeness by the clock. ``feeding.celsius`` is taken to be the kitchen's by day."""
    found = forecast(feeding, vigour)
    longer = work_past(feeding, _sunk_share()) / work(feeding, 1.0)
    return Ripening(
        peak=spread_after(fed_at, found, kitchen, 1.0),
        past=spread_after(fed_at, found, kitchen, longer),
    )


def spread_after(start: datetime, found: Forecast, kitchen: Kitchen, factor: float) -> TimeSpread:
    """``factor`` times the hours to the peak after ``start``, by the clock of this kitchen."""
    low, median, high = (
        after(start, hours * factor, kitchen)
        for hours in (found.peak_h.low, found.peak_h.median, found.peak_h.high)
    )
    return TimeSpread(low=low, median=median, high=high)


def after(start: datetime, day_hours: float, kitchen: Kitchen) -> datetime:
    """When so many hours at the day's warmth have gone by, counting a cooler night's for less."""
    left = min(day_hours, LONGEST_H)
    at = start
    if kitchen.night_c is None or kitchen.awake.up == kitchen.awake.down:
        return _plus(at, left)
    slower = _night_speed(kitchen)
    for _ in range(400):
        speed = 1.0 if kitchen.awake.at(at) else slower
        until = kitchen.awake.next_change(at)
        span = (until - at) / HOUR
        if span * speed >= left:
            return _plus(at, left / speed)
        left -= span * speed
        # A moment past the change, so that the next stretch is the other one.
        at = _plus(until, 1.0 / 3600.0)
    return at


def before(end: datetime, day_hours: float, kitchen: Kitchen) -> datetime:
    """When to start so that so many hours at the day's warmth have gone by at ``end``."""
    if kitchen.night_c is None:
        return _plus(end, -day_hours)
    slower = min(1.0, _night_speed(kitchen))
    low, high = _plus(end, -day_hours / slower - 1.0), _plus(end, 0.0)
    while (high - low) > timedelta(seconds=20):
        middle = low + (high - low) / 2
        if after(middle, day_hours, kitchen) > end:
            high = middle
        else:
            low = middle
    return low


def _night_speed(kitchen: Kitchen) -> float:
    assert kitchen.night_c is not None
    day = pace(kitchen.celsius, 0.3)
    return max(0.02, pace(kitchen.night_c, 0.3) / day)


def _plus(at: datetime, hours: float) -> datetime:
    """Elapsed hours, not the wall clock's: through UTC and back."""
    return (at.astimezone(UTC) + hours * HOUR).astimezone(at.tzinfo)


def _sunk_share() -> float:
    """The work, over that of the peak, at which the height has sunk to ``SUNK`` of the gain."""
    low, high = 1.0, 4.0
    while high - low > 1e-6:
        middle = (low + high) / 2.0
        low, high = (middle, high) if share_at(middle) > SUNK else (low, middle)
    return math.fsum((low, high)) / 2.0
