"""What each feed came to: the fold's feeds and the rises seen after them, put together.

People tell half of it. "Doubled in 6 h" implies a feed that was never reported, six hours ago;
"doubled, fed" on a morning is about the feed before; two looks at one feed are one outcome. What is
not told stays None.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bot.culture.curve import COLDEST_C, HOTTEST_C, Feeding
from bot.culture.quantities import Range
from bot.culture.state import Culture, Deed, Sighting
from bot.culture.vigour import LEAST_RISE, LONGEST_H, MOST_RISE, Observation, When
from bot.culture.vocabulary import Fed, Flour, Moved, Ratio, Rise, Started
from bot.errors import InputError

FORGOTTEN = timedelta(hours=36)
"""A rise is not about a feed older than this: one in between went untold."""
_APART = timedelta(minutes=45)
"""How exactly people tell a time."""
_A_DAY_ON = timedelta(hours=12)
_HOURS_ON = timedelta(hours=4)
_CLEARLY_MORE = 1.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One look at a feed: the height ratio, and whether it was reached at, by or not by ``hours``."""

    rise: Range
    hours: float | None
    when: When
    seen_at: datetime
    fallen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """The best that was seen of one feed.

    ``rise`` is the height ratio with the report's own doubt; ``hours`` from the feed to when it was
    reached (``at``) or seen to have been (``by``) or seen not to be (``not-by``), None when the feed's
    time is not known. ``celsius`` is the kitchen's, None when unknown or when the jar was chilled
    in between. ``told`` is true when the feed itself was reported.
    """

    fed_at: datetime | None
    ratio: Ratio | None
    celsius: float | None
    flours: tuple[Flour, ...]
    rise: Range
    hours: float | None
    when: When
    seen_at: datetime
    told: bool
    looks: tuple[Look, ...] = ()


@dataclass(frozen=True, slots=True)
class _Feed:
    """What is known of the feed that a look is about."""

    at: datetime | None
    ratio: Ratio | None
    flours: tuple[Flour, ...]
    told: bool


def outcomes(culture: Culture) -> tuple[Outcome, ...]:
    """The outcomes of this culture's feeds, oldest first. Feeds of which no rise was told have none."""
    found: list[Outcome] = []
    for sighting in culture.sightings:
        if sighting.signs.rise is None:
            continue
        feed = _feed_of(culture, sighting, found)
        fresh = _outcome(culture, sighting, sighting.signs.rise, feed)
        if found and _same(found[-1], fresh):
            found[-1] = _merged(found[-1], fresh)
        else:
            found.append(fresh)
    return tuple(found)


def observations(outcomes: Sequence[Outcome]) -> tuple[Observation, ...]:
    """The looks that can teach the vigour: a feed of known time in a warmth where a rise can be timed.

    A ratio that was not told is taken as 1:1:1, the trade's daily feed (common practice).
    """
    taught: list[Observation] = []
    for outcome in outcomes:
        if outcome.celsius is None or not COLDEST_C <= outcome.celsius <= HOTTEST_C:
            continue
        try:
            feeding = Feeding(
                ratio=outcome.ratio or (1.0, 1.0, 1.0),
                celsius=outcome.celsius,
                flours=outcome.flours,
            )
        except InputError:
            continue
        for look in outcome.looks:
            if look.hours is None or not 0.0 < look.hours <= LONGEST_H:
                continue
            taught += _taught(feeding, look, look.hours)
    return tuple(taught)


def _taught(feeding: Feeding, look: Look, hours: float) -> Iterator[Observation]:
    """A look as observations. A part of a rise was reached, and what is above it was not.

    The second only holds when the top had not sunk again before anyone looked.
    """
    height = look.rise.high if look.when == "not-by" else look.rise.middle
    rise = min(MOST_RISE, max(LEAST_RISE, height))
    yield Observation(feeding=feeding, rise=rise, hours=hours, when=look.when)
    above = look.rise.high * _CLEARLY_MORE
    if look.when == "by" and not look.fallen and above <= feeding.mark:
        yield Observation(feeding=feeding, rise=above, hours=hours, when="not-by")


def _feed_of(culture: Culture, sighting: Sighting, found: Sequence[Outcome]) -> _Feed:
    """The feed that a look is about, told or implied."""
    hours = sighting.signs.hours
    earliest = sighting.at - timedelta(hours=hours) + _APART if hours is not None else sighting.at
    for deed in reversed(all_feeds(culture)):
        if deed.at > earliest or _told_with(deed, sighting):
            continue
        if sighting.at - deed.at > FORGOTTEN or _settled_before(deed, sighting, found):
            break
        return _Feed(deed.at, ratio_told(deed), flours_of(culture, deed), told=True)
    implied = sighting.at - timedelta(hours=hours) if hours is not None else None
    return _Feed(implied, None, flours_of(culture, None, sighting.at), told=False)


def all_feeds(culture: Culture) -> tuple[Deed, ...]:
    """The feeds, the first mix among them even when it was told by other means than a message."""
    feeds = culture.feeds
    if culture.started_at is None or any(isinstance(deed.act, Started) for deed in feeds):
        return feeds
    mixed = Deed(at=culture.started_at, told_at=culture.started_at, act=Started(), number=0)
    return tuple(sorted((mixed, *feeds), key=lambda deed: (deed.at, deed.number)))


def _told_with(deed: Deed, sighting: Sighting) -> bool:
    """True for a feed of the same message that came after what was seen: "doubled, fed"."""
    return deed.number == sighting.number and sighting.at - deed.at < _APART


def _settled_before(deed: Deed, sighting: Sighting, found: Sequence[Outcome]) -> bool:
    """True when that feed's outcome was told a while ago: this look is about a later, untold one.

    Hours that are told ("doubled in 6 h") say by themselves when that one was.
    """
    ago = _A_DAY_ON if sighting.signs.hours is None else _HOURS_ON
    return any(
        outcome.fed_at == deed.at and sighting.at - outcome.seen_at >= ago for outcome in found
    )


def _outcome(culture: Culture, sighting: Sighting, rise: Rise, feed: _Feed) -> Outcome:
    hours, when = _time(sighting, rise, feed)
    seen = Range(rise.low, rise.high)
    return Outcome(
        fed_at=feed.at,
        ratio=feed.ratio,
        celsius=_celsius(culture, sighting, feed.at),
        flours=feed.flours,
        rise=seen,
        hours=hours,
        when=when,
        seen_at=sighting.at,
        told=feed.told,
        looks=(
            Look(
                rise=seen,
                hours=hours,
                when=when,
                seen_at=sighting.at,
                fallen=sighting.signs.surface == "fallen",
            ),
        ),
    )


def _time(sighting: Sighting, rise: Rise, feed: _Feed) -> tuple[float | None, When]:
    """Hours from the feed, and what they say: a time that was told is the moment itself."""
    missed = rise.low <= 1.0 < rise.high
    if sighting.signs.hours is not None:
        return sighting.signs.hours, "not-by" if missed else "at"
    hours = None if feed.at is None else (sighting.at - feed.at) / timedelta(hours=1)
    return hours, "not-by" if missed else "by"


def _celsius(culture: Culture, sighting: Sighting, fed_at: datetime | None) -> float | None:
    since = fed_at or sighting.at
    cold = False
    for deed in culture.deeds:
        if isinstance(deed.act, Moved) and deed.at <= sighting.at:
            chilled = deed.act.to == "fridge"
            cold = chilled or (cold and deed.at > since)
    return None if cold else sighting.kitchen_c


def _same(before: Outcome, fresh: Outcome) -> bool:
    """True when both are about one feed."""
    if before.fed_at is not None and fresh.fed_at is not None:
        if before.told and fresh.told:
            return before.fed_at == fresh.fed_at
        return fresh.fed_at < before.seen_at - _APART
    return fresh.seen_at - before.seen_at < timedelta(hours=8)


def _merged(before: Outcome, fresh: Outcome) -> Outcome:
    """The better of two looks at one feed: the higher, and of equals the earlier."""
    better = fresh if fresh.rise.middle > before.rise.middle else before
    base = before if before.told or before.fed_at is not None else fresh
    return replace(
        better,
        fed_at=base.fed_at,
        ratio=base.ratio or better.ratio,
        flours=base.flours,
        celsius=better.celsius,
        told=base.told,
        seen_at=fresh.seen_at,
        looks=(*before.looks, *fresh.looks),
    )


def ratio_told(deed: Deed) -> Ratio | None:
    """Told as a ratio, or worked out from the masses; the first mix has no seed and so none."""
    act = deed.act
    if not isinstance(act, Fed):
        return None
    if act.ratio is not None:
        return act.ratio if act.ratio[0] > 0.0 and act.ratio[1] > 0.0 else None
    parts = (act.starter_g, act.flour_g, act.water_g)
    if any(part is None for part in parts):
        return None
    starter, flour, water = (part.middle for part in parts if part is not None)
    return (starter, flour, water) if starter > 0.0 and flour > 0.0 else None


def flours_of(culture: Culture, deed: Deed | None, at: datetime | None = None) -> tuple[Flour, ...]:
    """What that feed was of; not told, what the last feed before it was of, or the culture's own."""
    moment = deed.at if deed is not None else at
    told: tuple[Flour, ...] = ()
    for feed in culture.feeds:
        if moment is not None and feed.at > moment:
            break
        if isinstance(feed.act, Fed | Started) and feed.act.flours:
            told = feed.act.flours
    return told or (culture.flour,)
