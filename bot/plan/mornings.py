"""When a person's mornings come: once per local day, at the hour they chose, wherever they are.

Everything is worked out from the dossier and an instant, never from what was planned before, so a
changed zone, a changed hour, a clock set back and a bot that was off need no case of their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import Literal, TypeAlias

from bot.culture.journal import MorningsSet, Prompted, Resumed, Wrote, ZoneSet
from bot.culture.state import Culture, Dossier
from bot.plan.keeping import wants_morning
from bot.plan.zones import zone_info

EVENING = time(21)
"""A morning that is late is still worth sending until this hour (our choice, no source)."""

LATE_AT_MOST = timedelta(hours=3)
"""Somebody whose "morning" is in the evening gets at least this long."""

SILENT_MORNINGS = 3
"""After so many local days without a word comes one kind line, then quiet."""

_ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Morning:
    """The morning of ``local_day`` is due: one prompt for each of these cultures."""

    local_day: date
    cultures: tuple[str, ...]
    kind: Literal["morning"] = "morning"


@dataclass(frozen=True, slots=True, kw_only=True)
class KindLine:
    """Three mornings went by in silence: one kind line, then quiet until they write."""

    local_day: date
    kind: Literal["kind-line"] = "kind-line"


Due: TypeAlias = Morning | KindLine


def morning_instant(local_day: date, at: time, zone: tzinfo) -> datetime:
    """The instant, in UTC, at which the clock on that wall first shows ``at`` on ``local_day``.

    An hour that comes twice counts the first time; an hour that does not exist that night is
    taken at the first instant after the gap.
    """
    wall = datetime.combine(local_day, at)
    early = wall.replace(tzinfo=zone, fold=1).astimezone(UTC)
    late = wall.replace(tzinfo=zone, fold=0).astimezone(UTC)
    if late.astimezone(zone).replace(tzinfo=None) == wall:
        return late
    # In a gap fold=0 reckons with the offset before it and fold=1 with the one after it
    # (PEP 495), so the clock jumps somewhere between the two.
    old_offset = early.astimezone(zone).utcoffset()
    while late - early > timedelta(seconds=1):
        half = early + timedelta(seconds=int((late - early).total_seconds()) // 2)
        if half.astimezone(zone).utcoffset() == old_offset:
            early = half
        else:
            late = half
    return late


def local_day_at(now: datetime, zone: tzinfo) -> date:
    """The date on that wall at that instant."""
    return now.astimezone(zone).date()


def next_morning(dossier: Dossier, now: datetime) -> datetime | None:
    """The instant of the next morning or kind line, in the past when it is overdue.

    None: nothing comes until the person writes.
    """
    owed = _owed(dossier, now)
    return None if owed is None else owed.at


def due(dossier: Dossier, now: datetime) -> Due | None:
    """What is to be said now, None when nothing is."""
    owed = _owed(dossier, now)
    if owed is None or owed.at > now:
        return None
    return owed.what


@dataclass(frozen=True, slots=True, kw_only=True)
class _Silence:
    """What was sent since the person last wrote, and since when mornings have been wanted."""

    days: frozenset[date]
    kind_line_sent: bool
    wanted_since: datetime | None

    @property
    def kind_line_is_next(self) -> bool:
        return len(self.days) >= SILENT_MORNINGS


def _silence(dossier: Dossier) -> _Silence:
    days: set[date] = set()
    kind_line_sent = False
    wanted_since: datetime | None = None
    zone_told = hour_told = False
    for entry in dossier.journal:
        event = entry.event
        match event:
            case Wrote() | Resumed():
                if kind_line_sent or isinstance(event, Resumed):
                    # Whoever comes back at ten is answered then; the next morning is tomorrow's.
                    wanted_since = entry.at
                days.clear()
                kind_line_sent = False
            case Prompted(prompt="morning"):
                days.add(event.local_day)
            case Prompted(prompt="kind-line"):
                kind_line_sent = True
            case ZoneSet() if not zone_told:
                zone_told, wanted_since = True, entry.at
            case MorningsSet() if not hour_told:
                hour_told, wanted_since = True, entry.at
            case _:
                pass
    return _Silence(days=frozenset(days), kind_line_sent=kind_line_sent, wanted_since=wanted_since)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Owed:
    at: datetime
    what: Due


def _owed(dossier: Dossier, now: datetime) -> _Owed | None:
    """The earliest morning that was not sent and is not too late."""
    person = dossier.person
    if person.zone is None or person.morning_at is None or person.rest == "stopped":
        return None
    if person.rest == "paused" and person.paused_until is None:
        return None
    silence = _silence(dossier)
    if not dossier.living or silence.kind_line_sent:
        return None
    zone = zone_info(person.zone)
    first_day = min(first_morning(culture, zone) for culture in dossier.living)
    if person.rest == "paused" and person.paused_until is not None:
        first_day = max(first_day, person.paused_until)
    for local_day, at in _mornings_not_too_late(now, person.morning_at, zone, first_day):
        if silence.wanted_since is not None and at < silence.wanted_since:
            continue
        cultures = tuple(
            culture.key
            for culture in dossier.living
            if local_day not in culture.mornings
            and at >= culture.began_at
            and local_day >= first_morning(culture, zone)
            and wants_morning(culture, local_day, zone, back_on=person.paused_until)
        )
        if cultures and silence.kind_line_is_next:
            return _Owed(at=at, what=KindLine(local_day=local_day))
        if cultures:
            return _Owed(at=at, what=Morning(local_day=local_day, cultures=cultures))
    return None


def first_morning(culture: Culture, zone: tzinfo) -> date:
    """The local day after the first mix; of a jar not mixed yet, the day after it was begun."""
    return local_day_at(culture.started_at or culture.began_at, zone) + _ONE_DAY


def _mornings_not_too_late(
    now: datetime, at: time, zone: tzinfo, first_day: date
) -> Iterator[tuple[date, datetime]]:
    """Local days and their instants, from the first that may still be sent.

    Bounded: of ten days in a row the dossier holds ten mornings only if a wrong clock wrote them;
    then the search ends, and the next message starts it again.
    """
    today = local_day_at(now, zone)
    first = max(today - _ONE_DAY, first_day)
    for ahead in range(10):
        local_day = first + ahead * _ONE_DAY
        if not _exists(local_day, zone):
            continue
        instant = morning_instant(local_day, at, zone)
        if now < max(morning_instant(local_day, EVENING, zone), instant + LATE_AT_MOST):
            yield local_day, instant


def _exists(local_day: date, zone: tzinfo) -> bool:
    """A land that crosses the date line leaves out a whole day (Apia had no 30 December 2011)."""
    return local_day_at(morning_instant(local_day, time(0), zone), zone) == local_day
