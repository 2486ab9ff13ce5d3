"""The hours of one kitchen on a line: when somebody is up, and how much a night's hour is worth.

Minutes count from an origin in UTC, so that elapsed time is elapsed time whatever the wall clock does.
"""

from __future__ import annotations

import bisect
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta, tzinfo

from bot.culture.growth import pace
from bot.culture.looking import warm_share

HOUR = timedelta(hours=1)
_MINUTE = timedelta(minutes=1)
_SLOWEST = 0.02


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Kitchen:
    """The warmth by day and, while nobody is up, by night (None: the same), in °C."""

    celsius: float
    night_c: float | None = None
    awake: Awake = Awake()


@dataclass(frozen=True, slots=True)
class Timeline:
    """Stretches of being up and lying down, with the day-hours of work gone by at each change."""

    origin: datetime
    zone: tzinfo | None
    edges: tuple[float, ...]
    ups: tuple[bool, ...]
    """One more than the edges: whether somebody is up before the first and after each."""
    speeds: tuple[float, ...]
    done: tuple[float, ...]

    def minute(self, moment: datetime) -> float:
        return (moment.astimezone(UTC) - self.origin) / _MINUTE

    def moment(self, minute: float) -> datetime:
        return (self.origin + minute * _MINUTE).astimezone(self.zone)

    def is_up(self, minute: float) -> bool:
        """True in waking hours, both ends included."""
        place = bisect.bisect_right(self.edges, minute)
        return self.ups[place] or (place > 0 and self.edges[place - 1] == minute)

    def sleeps_between(self, start: float, end: float) -> bool:
        """True when somebody lies down after ``start`` and before ``end``."""
        place = bisect.bisect_right(self.edges, start)
        return any(
            not up
            for edge, up in zip(self.edges[place:], self.ups[place + 1 :], strict=True)
            if edge < end
        )

    def after(self, start: float, hours: float) -> float:
        """The minute when so many hours at the day's warmth have gone by."""
        return self._when(self._worked(start) + hours)

    def before(self, end: float, hours: float) -> float:
        """The minute to start so that so many hours at the day's warmth have gone by at ``end``."""
        return self._when(self._worked(end) - hours)

    def _worked(self, minute: float) -> float:
        if not self.edges:
            return minute / 60.0
        place = bisect.bisect_right(self.edges, minute)
        edge = max(0, place - 1)
        return self.done[edge] + (minute - self.edges[edge]) * self.speeds[place] / 60.0

    def _when(self, worked: float) -> float:
        if not self.edges:
            return worked * 60.0
        place = bisect.bisect_right(self.done, worked)
        edge = max(0, place - 1)
        return self.edges[edge] + (worked - self.done[edge]) * 60.0 / self.speeds[place]


def timeline(kitchen: Kitchen, start: datetime, end: datetime) -> Timeline:
    """The line from a day before ``start`` to a day after ``end``, in the zone of ``end``."""
    zone = end.tzinfo
    origin = start.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    if kitchen.awake.up == kitchen.awake.down:
        return Timeline(origin, zone, (), (True,), (1.0,), ())
    first = start.astimezone(zone).date() - timedelta(days=1)
    days = (end.date() - first).days + 2
    changes = sorted(
        ((datetime.combine(day, clock, tzinfo=zone).astimezone(UTC) - origin) / _MINUTE, up)
        for day in (first + timedelta(days=ahead) for ahead in range(days))
        for clock, up in ((kitchen.awake.up, True), (kitchen.awake.down, False))
    )
    edges = tuple(minute for minute, _ in changes)
    ups = (not changes[0][1], *(up for _, up in changes))
    slower = _night_speed(kitchen)
    speeds = tuple(1.0 if up else slower for up in ups)
    done = [0.0]
    for edge, following, speed in zip(edges, edges[1:], speeds[1:], strict=False):
        done.append(done[-1] + (following - edge) * speed / 60.0)
    return Timeline(origin, zone, edges, ups, speeds, tuple(done))


def _night_speed(kitchen: Kitchen) -> float:
    if kitchen.night_c is None:
        return 1.0
    warm = warm_share(0.0)
    return max(_SLOWEST, pace(kitchen.night_c, warm) / pace(kitchen.celsius, warm))
