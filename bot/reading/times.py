"""When something was done: clock times, days and hours ago, from the moment of writing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from bot.reading.clauses import Clause, Message
from bot.reading.clocks import Clock
from bot.reading.days import day_of
from bot.reading.hours_told import beside, clock

_LATE = timedelta(minutes=20)
"""A clock time this far ahead of the writing is a rounded now, not yesterday's."""

_MORNING = 7
"""An hour from seven on, of another day and without a half, is of the morning; one before, of the evening."""


@dataclass(frozen=True, slots=True)
class Moment:
    """An instant in the writer's zone; ``either`` half of the day could be meant."""

    at: datetime
    either: bool = False


def moment(
    message: Message, clause: Clause, at: datetime, day: tuple[date, bool] | None = None
) -> Moment | None:
    """The instant a clause tells for an act; None when it is vague or not told.

    ``day`` is one told before, and whether it is a weekday: it counts where the clause names none.
    """
    ago = _ago(message, clause, at)
    if ago is not None:
        return Moment(ago)
    wall = clock(message, clause)
    if wall is None:
        return None
    return _place(message, clause, at, wall, day)


def _ago(message: Message, clause: Clause, at: datetime) -> datetime | None:
    for amount in clause.amounts:
        if amount.unit in ("hour", "minute") and message.says(amount.last, "ago"):
            moved = at.astimezone(UTC) - timedelta(hours=amount.hours)
            return moved.astimezone(at.tzinfo)
    return None


def _place(
    message: Message, clause: Clause, at: datetime, wall: Clock, told: tuple[date, bool] | None
) -> Moment | None:
    named = day_of(message, clause, at) or _day_beside(message, clause, at) or told
    hours = _hours(wall)
    either = len(hours) == 2
    if named is None:
        found = [
            moment
            for back in (0, 1)
            for one in hours
            if (moment := _wall(at, at.date() - timedelta(days=back), one, wall.minute))
            <= at + _LATE
        ]
        return Moment(max(found), either) if found else None
    day, weekly = named
    if wall.half == "night" and 0 <= hours[0] < 5:
        day += timedelta(days=1)
    if either and day == at.date():
        past = [one for one in hours if _wall(at, day, one, wall.minute) <= at + _LATE]
        chosen = max(past) if past else hours[0]
    elif either:
        chosen = hours[0] if wall.hour >= _MORNING or wall.hour == 12 else hours[1]
    else:
        chosen = hours[0]
    found_at = _wall(at, day, chosen, wall.minute)
    if found_at > at + timedelta(hours=1):
        found_at = _wall(at, day - timedelta(days=7 if weekly else 1), chosen, wall.minute)
    return Moment(found_at, either)


def _hours(wall: Clock) -> list[int]:
    """The hours of the day that may be meant, the likelier first."""
    hour = wall.hour
    match wall.half:
        case "am":
            return [hour % 12 if hour <= 12 else hour]
        case "pm":
            return [hour % 12 + 12 if hour <= 12 else hour]
        case "night":
            return [hour + 12 if 5 <= hour < 12 else 0 if hour == 12 else hour]
        case "exact":
            return [hour]
        case _:
            if hour == 0 or hour > 12:
                return [hour]
            return [12, 0] if hour == 12 else [hour, hour + 12]


def _day_beside(message: Message, clause: Clause, at: datetime) -> tuple[date, bool] | None:
    """ "Yesterday, fed at nine": the day stands by itself in the clause next to it."""
    found = (day_of(message, one, at) for one in beside(message, clause))
    return next((one for one in found if one is not None), None)


def _wall(at: datetime, day: date, hour: int, minute: int) -> datetime:
    """A wall-clock time in the writer's zone; one that the clocks skipped moves on by the gap."""
    naive = datetime.combine(day, time(hour, minute))
    local = naive.replace(tzinfo=at.tzinfo)
    return local.astimezone(UTC).astimezone(at.tzinfo)
