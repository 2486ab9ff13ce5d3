"""What a jar's past adds to today's message: its day, its doublings, dangers not yet dealt with."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from bot.advice.facts import Danger
from bot.culture.quantities import Range
from bot.culture.state import Culture, Dossier, Sighting
from bot.culture.vocabulary import Flour, Signs, Started

GATE_DAY = 7
"""No culture is called ready before this day (F-190)."""
GATE_DOUBLES = 3
"""Doublings in a row for the first bake of a new culture (facts.md section 8: the safe choice)."""
LATER_DOUBLES = 2
FULL_RISE = 2.0
FULL_RISE_RYE = 1.5
"""Rye holds little gas: 1.5 can be its full strength (F-082)."""

_WINDOW = ((18.0, 16.0), (21.0, 12.0), (24.0, 8.0))
"""Hours a doubling may take after a 1:1:1 feed, by warmth (F-191)."""


def day_of(culture: Culture, at: datetime) -> float | None:
    """Day 1 is the local calendar day of the first mix; None before it is mixed."""
    if culture.started_at is None:
        return None
    started = culture.started_at.astimezone(at.tzinfo).date()
    return float(max((at.date() - started).days + 1, 1))


def age(day: float | None, kitchen_c: float | None) -> float | None:
    """The day as a 21-25 °C kitchen counts it: cold stretches every phase, warmth shortens it (F-069)."""
    if day is None:
        return None
    if kitchen_c is None or 20 <= kitchen_c <= 25.5:
        return day
    if kitchen_c < 20:
        slower = 1 + min(20 - kitchen_c, 6) * 0.3
        return 1 + (day - 1) / slower
    faster = max(0.65, 1 - (min(kitchen_c, 30) - 25.5) * 0.1)
    return 1 + (day - 1) / faster


def window(warmth_c: float | None, feed_size: float | None) -> float | None:
    """The longest a doubling may take and still count, in hours; None when the warmth is unknown."""
    if warmth_c is None:
        return None
    hours = _WINDOW[0][1] * 1.25 if warmth_c < _WINDOW[0][0] - 1 else _between(warmth_c)
    return hours * (1.0 + 0.15 * max((feed_size or 1.0) - 1.0, 0.0))


def _between(warmth_c: float) -> float:
    low = _WINDOW[0]
    if warmth_c <= low[0]:
        return low[1]
    for high in _WINDOW[1:]:
        if warmth_c <= high[0]:
            share = (warmth_c - low[0]) / (high[0] - low[0])
            return low[1] + share * (high[1] - low[1])
        low = high
    return low[1]


def in_time(
    rise: Range | None,
    hours: float | None,
    warmth_c: float | None,
    flour: Flour | None,
    feed_size: float | None,
) -> bool | None:
    """Whether this is a full rise within the window; None when a needed fact is missing."""
    if rise is None:
        return None
    full = FULL_RISE_RYE if flour == "rye" else FULL_RISE * 0.95
    if rise.high < full:
        return False
    longest = window(warmth_c, feed_size)
    if hours is None or longest is None:
        return None
    if rise.low < full:
        return None
    return hours <= longest * 1.05


def doubles(culture: Culture | None, dossier: Dossier, at: datetime) -> int:
    """Full rises in time in a row, newest last, one a feed; an unseen peak does not break the row."""
    if culture is None:
        return 0
    row = 0
    seen_for: dict[object, bool] = {}
    for sighting in culture.sightings:
        if sighting.signs.rise is None:
            continue
        feed = feed_before(culture, sighting)
        key: object = feed or sighting.at.date()
        full = _full(culture, dossier, sighting, feed)
        if full is None:
            continue
        seen_for[key] = seen_for.get(key, False) or full
    for full in reversed(list(seen_for.values())):
        if not full:
            break
        row += 1
    return row


def feed_before(culture: Culture, sighting: Sighting) -> datetime | None:
    """When the feed was that a sighting is about: by the hours told, else the last one before."""
    if sighting.signs.hours is not None:
        return sighting.at - timedelta(hours=sighting.signs.hours)
    earlier = [
        deed.at
        for deed in culture.feeds
        if deed.number != sighting.number and deed.at < sighting.at
    ]
    return earlier[-1] if earlier else None


def _full(
    culture: Culture, dossier: Dossier, sighting: Sighting, feed: datetime | None
) -> bool | None:
    assert sighting.signs.rise is not None
    day = day_of(culture, sighting.at)
    if day is not None and day < 5:
        return None
    rise = Range(sighting.signs.rise.low, sighting.signs.rise.high)
    hours = sighting.signs.hours
    if hours is None and feed is not None and (sighting.at - feed) <= timedelta(hours=30):
        hours = (sighting.at - feed) / timedelta(hours=1)
    flour = culture.flour
    for deed in culture.feeds:
        if isinstance(deed.act, Started) or deed.at > sighting.at:
            continue
        if deed.act.flours:  # type: ignore[union-attr]
            flour = deed.act.flours[0]  # type: ignore[union-attr]
    found = in_time(rise, hours, sighting.kitchen_c, flour, None)
    if found is False and rise.high >= 1.45 and hours is not None:
        early = window(sighting.kitchen_c, None)
        # Seen long before its time is up: not a failure yet.
        if early is not None and hours < early * 0.5:
            return None
    return found


def gate(culture: Culture | None, dossier: Dossier, at: datetime, day: float | None) -> bool | None:
    """Whether the culture may bake: day 7 or later and enough full rises in a row (F-190)."""
    if culture is None or day is None:
        return None
    wanted = LATER_DOUBLES if was_ready(culture, at) else GATE_DOUBLES
    return day >= GATE_DAY and doubles(culture, dossier, at) >= wanted


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
        timedelta(hours=1) < at - seen.at <= timedelta(days=14) and wanted(seen.signs)
        for seen in culture.sightings
    )


def danger_before(culture: Culture | None, at: datetime) -> Danger:
    """A danger sign of an earlier message, unless the jar was mixed anew since."""
    if culture is None:
        return "none"
    fresh = max((deed.at for deed in culture.deeds if isinstance(deed.act, Started)), default=None)
    for seen in reversed(culture.sightings):
        if seen.at >= at or (fresh is not None and seen.at < fresh):
            continue
        signs = seen.signs
        day = day_of(culture, seen.at)
        if signs.mould:
            return "mould"
        if signs.streak not in (None, False):
            return "streak"
        if signs.pests:
            return "pests"
        if "rotten" in signs.smell and (day is None or day >= 5):
            return "rotten"
    return "none"
