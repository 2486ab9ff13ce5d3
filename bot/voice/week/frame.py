"""Which days a picture shows, and where a moment stands in it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from bot.culture.state import Culture, Person
from bot.plan.mornings import local_day_at, morning_instant
from bot.plan.zones import zone_info

DAYS = 7
_HOUR = timedelta(hours=1)
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Seven local days. ``edges`` are their midnights and the last one's end, in UTC."""

    zone: tzinfo
    days: tuple[date, ...]
    edges: tuple[datetime, ...]
    first_number: int | None
    """The culture's day that the first of them is; None before the first mix."""
    now: datetime
    """Nothing after it has happened: the moment of the picture, or the culture's end."""

    @property
    def start(self) -> datetime:
        return self.edges[0]

    @property
    def end(self) -> datetime:
        return self.edges[-1]

    @property
    def span_h(self) -> float:
        return self.hour(self.end)

    def hour(self, at: datetime) -> float:
        """Hours since the left edge, in real time: a day of 23 hours is a narrower column."""
        return (at - self.start) / _HOUR

    def shows(self, at: datetime) -> bool:
        return self.start <= at < self.end

    def number_on(self, local_day: date) -> int | None:
        if self.first_number is None:
            return None
        return self.first_number + (local_day - self.days[0]).days


def frame_of(person: Person, culture: Culture, at: datetime) -> Frame:
    """A culture's first seven days while they last, afterwards the seven that end today."""
    zone = UTC if person.zone is None else zone_info(person.zone)
    now = at if culture.ended_at is None else min(at, culture.ended_at)
    today = local_day_at(now, zone)
    first, number = today - (DAYS - 1) * _DAY, None
    if culture.started_at is not None:
        started = local_day_at(culture.started_at, zone)
        first = max(first, started)
        number = (first - started).days + 1
    days = tuple(first + index * _DAY for index in range(DAYS))
    edges = tuple(morning_instant(day, time(0), zone) for day in (*days, days[-1] + _DAY))
    return Frame(zone=zone, days=days, edges=edges, first_number=number, now=now)
