"""When to wake next: whose zone holds on which day, away and back, and what falls due between."""

from __future__ import annotations

from datetime import datetime

from bot.culture.fold import extend
from bot.culture.journal import Entry, ZoneSet
from bot.culture.state import Dossier
from bot.plan.mornings import local_day_at, next_morning
from bot.plan.reminders import next_reminder
from bot.plan.zones import zone_info


def is_back(dossier: Dossier, at: datetime) -> bool:
    """Whether the last day away has passed, by the clock at home."""
    person = dossier.person
    if person.home_zone is None or person.away_until is None:
        return False
    return local_day_at(at, zone_info(person.home_zone)) > person.away_until


def next_waking(dossier: Dossier, now: datetime) -> datetime | None:
    """The next instant at which there is something to say: a morning or a reminder."""
    reminder = next_reminder(dossier)
    instants = (_next_morning(dossier, now), None if reminder is None else reminder.at)
    return min((at for at in instants if at is not None), default=None)


def _next_morning(dossier: Dossier, now: datetime) -> datetime | None:
    """The next morning, by the clock of the place where the person will be on that day."""
    at = next_morning(dossier, now)
    if at is None or not is_back(dossier, at):
        return at
    person = dossier.person
    assert person.home_zone is not None
    back = Entry(number=dossier.last_number + 1, at=now, event=ZoneSet(zone=person.home_zone))
    return next_morning(extend(dossier, [back]), now)
