"""What a jar's past adds to today's message: its day, its doublings, dangers not yet dealt with."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from bot.advice.facts import Danger
from bot.culture.outcomes import outcomes
from bot.culture.phases import speed
from bot.culture.readiness import Readiness, readiness, standing
from bot.culture.state import Culture
from bot.culture.vocabulary import Signs, Started

_MILD_C = (20.0, 25.5)
"""In a kitchen between these the days count as they are (F-068, common practice)."""
_MEMORY = timedelta(days=14)
_GROWN_DAY = 12
"""From here on silence about its rises says nothing of its strength (F-068, common practice)."""
_ROTTEN_FROM_DAY = 5
"""Before, a putrid smell is the early flora's (F-219, common practice)."""


def day_of(culture: Culture, at: datetime) -> float | None:
    """Day 1 is the local calendar day of the first mix; None before it is mixed."""
    if culture.started_at is None:
        return None
    started = culture.started_at.astimezone(at.tzinfo).date()
    return float(max((at.date() - started).days + 1, 1))


def age(day: float | None, kitchen_c: float | None) -> float | None:
    """The day as a mild kitchen counts it: cold stretches every phase, warmth shortens it (F-069)."""
    if day is None:
        return None
    if kitchen_c is None or _MILD_C[0] <= kitchen_c <= _MILD_C[1]:
        return day
    edge = _MILD_C[0] if kitchen_c < _MILD_C[0] else _MILD_C[1]
    return 1 + (day - 1) * speed(kitchen_c) / speed(edge)


def standings(culture: Culture | None, at: datetime) -> Readiness | None:
    """How near the culture is to its first, or its next, bake; None before it is mixed."""
    if culture is None or culture.started_at is None:
        return None
    day = day_of(culture, at)
    assert day is not None
    return readiness(
        outcomes(culture),
        day=day,
        was_ready=was_ready(culture, at),
        started_at=culture.started_at,
    )


def in_time(culture: Culture | None, at: datetime) -> bool | None:
    """Whether the rise told just now is a full one within its window; None when that is not known."""
    if culture is None:
        return None
    for outcome in reversed(outcomes(culture)):
        if outcome.seen_at != at:
            break
        match standing(outcome):
            case "full":
                return True
            case "short" | "slow":
                return False
            case _:
                return None
    return None


def is_untold(culture: Culture | None, day: float | None) -> bool:
    """A grown culture of which no rise was ever told: it may be ready or not."""
    if culture is None or day is None or day < _GROWN_DAY or was_ready(culture, culture.began_at):
        return False
    return all(seen.signs.rise is None for seen in culture.sightings)


def was_ready(culture: Culture | None, at: datetime) -> bool:
    """A verdict of ready was given before, or its keeper chose what a ready culture does."""
    if culture is None:
        return False
    said = any(end.verdict == "ready" and end.at < at for end in culture.conclusions)
    return said or culture.chosen is not None


def seen_before(culture: Culture | None, at: datetime, wanted: Callable[[Signs], bool]) -> bool:
    """Whether something was seen in the last fortnight, but not in the last hour."""
    if culture is None:
        return False
    return any(
        timedelta(hours=1) < at - seen.at <= _MEMORY and wanted(seen.signs)
        for seen in culture.sightings
    )


def danger_before(culture: Culture | None, at: datetime) -> Danger:
    """A danger sign of an earlier message, unless the jar was mixed anew or the alarm was false.

    As long as one stands, nothing milder than a question is concluded of the jar: so a milder
    conclusion since shows that it was taken back.
    """
    if culture is None:
        return "none"
    calm = [end.at for end in culture.conclusions if end.verdict in ("on-track", "adjust", "ready")]
    mixed = [deed.at for deed in culture.deeds if isinstance(deed.act, Started)]
    fresh = max(mixed, default=None)
    for seen in reversed(culture.sightings):
        if seen.at >= at or (fresh is not None and seen.at < fresh):
            continue
        if calm and seen.at < calm[-1]:
            break
        found = danger_in(seen.signs, day_of(culture, seen.at))
        if found != "none":
            return found
    return "none"


def danger_in(signs: Signs, day: float | None) -> Danger:
    """The gravest danger sign; a putrid smell counts from day 5, or when the day is unknown."""
    if signs.mould:
        return "mould"
    if signs.streak not in (None, False):
        return "streak"
    if signs.pests:
        return "pests"
    if "rotten" in signs.smell and (day is None or day >= _ROTTEN_FROM_DAY):
        return "rotten"
    return "none"
