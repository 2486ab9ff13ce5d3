"""A bake planned backwards: so much levain, ripe at an instant, mixed by somebody who also sleeps.

The last build is chosen so that its median peak is the instant wanted; one overnight build is preferred.
Too little starter for that takes more builds, each ripe when the next one is mixed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Literal, TypeAlias

from bot.culture.curve import Feeding, check_hydration, work
from bot.culture.feeds import Portions, build, checked_g
from bot.culture.rise import forecast
from bot.culture.vigour import Vigour, usual
from bot.culture.vocabulary import Flour
from bot.errors import InputError
from bot.plan.ripening import HOUR, Awake, Kitchen, TimeSpread, after, before

Why: TypeAlias = Literal["too-soon", "asleep", "too-little"]
"""Why it cannot be: no build is ripe that soon, nobody is up to mix it, or more builds are needed than
there is time for."""

_RATIOS = (*(halves / 2.0 for halves in range(2, 21)), 12.0, 15.0, 20.0)
"""New flour per seed, by weight: from 1:1 to 1:20; the trade's table has 1:1 to 1:10."""
_SEED_RATIOS = (1.0, 2.0, 3.0, 5.0, 8.0, 10.0)
_KINDEST = 3.5
_MOST_BUILDS = 4
_LONGEST_BUILD_H = 72.0
_WAITS = (1.0, 1.1, 1.2, 1.3)
"""How far past its peak a seed may be when it is used, as a share of the time to the peak."""
_STEP = timedelta(minutes=5)
_SEARCH = timedelta(minutes=15)
_FARTHEST = timedelta(days=7)
DEFAULT_LEAD = timedelta(days=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class BakeWish:
    """``levain_g`` at ``hydration``, ripe at ``ripe_at``, out of ``have_g`` of starter.

    ``earliest`` is the first moment anything can be mixed, None three days before. The clock of the
    waking hours is that of ``ripe_at``'s zone. Raises InputError for what cannot be.
    """

    ripe_at: datetime
    levain_g: float
    have_g: float
    kitchen: Kitchen
    hydration: float = 1.0
    hydration_in: float = 1.0
    earliest: datetime | None = None
    flours: tuple[Flour, ...] = ("white",)

    def __post_init__(self) -> None:
        checked_g(self.levain_g, "levain_g")
        checked_g(self.have_g, "have_g")
        check_hydration(self.hydration)
        check_hydration(self.hydration_in, "hydration_in")
        for celsius in (self.kitchen.celsius, self.kitchen.night_c):
            if celsius is not None:
                Feeding(ratio=(1.0, 1.0, 1.0), celsius=celsius)
        if self.ripe_at.tzinfo is None or (self.earliest and self.earliest.tzinfo is None):
            raise InputError("ripe_at and from need an offset from UTC")
        if self.earliest is not None and self.earliest >= self.ripe_at:
            raise InputError("from is not before ripe_at: there is no time left to mix anything")

    @property
    def first(self) -> datetime:
        return self.earliest or self.ripe_at - DEFAULT_LEAD


@dataclass(frozen=True, slots=True, kw_only=True)
class BakeStep:
    """Mix this at ``at``; it is ripe in the spread ``ready``. ``levain`` is the last, ``build`` a seed for it."""

    at: datetime
    do: Literal["build", "levain"]
    portions: Portions
    ready: TimeSpread


@dataclass(frozen=True, slots=True, kw_only=True)
class BakePlan:
    steps: tuple[BakeStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CannotBake:
    """``nearest`` is the time closest to the one wanted that can be met, None when there is none within a week."""

    why: Why
    nearest: datetime | None


@dataclass(frozen=True, slots=True)
class _Clock:
    """Hours to the peak per unit of work by this culture in this kitchen, in the three quantiles."""

    low: float
    median: float
    high: float


@dataclass(frozen=True, slots=True)
class _Build:
    at: datetime
    portions: Portions
    hours: float
    """To the median peak, at the day's warmth."""
    work: float


def plan_bake(wish: BakeWish, vigour: Vigour | None = None) -> BakePlan | CannotBake:
    """The plan with the fewest builds, an overnight one first; or why not, and when instead."""
    clock = _clock(wish, vigour or usual())
    chain = _chain(wish, clock, wish.ripe_at)
    if chain is not None:
        return _plan(wish, clock, chain)
    return CannotBake(why=_why(wish, clock), nearest=_nearest(wish, clock))


def _clock(wish: BakeWish, vigour: Vigour) -> _Clock:
    """All feeds of one kitchen share one spread: only the work differs, and scales it."""
    plain = Feeding(ratio=(1.0, 1.0, 1.0), celsius=wish.kitchen.celsius)
    peak, done = forecast(plain, vigour).peak_h, work(plain, 1.0)
    return _Clock(low=peak.low / done, median=peak.median / done, high=peak.high / done)


def _chain(wish: BakeWish, clock: _Clock, ripe_at: datetime) -> tuple[_Build, ...] | None:
    """The kindest chain of builds, the first one first."""
    fewest = _fewest_builds(wish)
    for builds in range(fewest, min(fewest + 1, _MOST_BUILDS) + 1):
        best: tuple[float, tuple[_Build, ...]] | None = None
        for last in _builds(wish, clock, ripe_at, wish.levain_g, wish.hydration, _RATIOS, (1.0,)):
            chain = _seed(wish, clock, last, builds - 1)
            if chain is None:
                continue
            cost = _cost(wish, last, ripe_at)
            if best is None or cost < best[0] - 1e-9:
                best = (cost, (*chain, last))
        if best is not None:
            return best[1]
    return None


def _fewest_builds(wish: BakeWish) -> int:
    """How many builds the masses alone ask for, at the leanest ratios."""
    leanest = (1.0 + wish.hydration) * (_RATIOS[-1] + 1.0 / (1.0 + wish.hydration_in))
    need_g, builds = wish.levain_g / leanest, 1
    while need_g > wish.have_g and builds <= _MOST_BUILDS:
        need_g /= 1.0 + _SEED_RATIOS[-1] * (1.0 + wish.hydration_in)
        builds += 1
    return builds


def _seed(
    wish: BakeWish, clock: _Clock, before_it: _Build, builds: int
) -> tuple[_Build, ...] | None:
    """Builds that have the seed of ``before_it`` ripe when it is mixed; none when enough is there."""
    need_g = before_it.portions.starter_g
    if builds == 0:
        return () if need_g <= wish.have_g + 1e-9 else None
    for last in _builds(wish, clock, before_it.at, need_g, wish.hydration_in, _SEED_RATIOS, _WAITS):
        chain = _seed(wish, clock, last, builds - 1)
        if chain is not None:
            return (*chain, last)
    return None


def _builds(
    wish: BakeWish,
    clock: _Clock,
    ripe_at: datetime,
    mass_g: float,
    hydration: float,
    ratios: tuple[float, ...],
    waits: tuple[float, ...],
) -> Iterator[_Build]:
    """Every build of that mass that is ripe then and can be mixed by somebody who is up."""
    for ratio in ratios:
        made = _made(mass_g, hydration, wish.hydration_in, ratio, wish.kitchen.celsius, wish.flours)
        if made is None:
            continue
        portions, done = made
        hours = done * clock.median
        if hours > _LONGEST_BUILD_H:
            continue
        for wait in waits:
            at = _on_the_step(before(ripe_at, hours * wait, wish.kitchen))
            if at >= wish.first and wish.kitchen.awake.at(at):
                yield _Build(at=at, portions=portions, hours=hours, work=done)
                break


@cache
def _unit(
    hydration: float, hydration_in: float, ratio: float, celsius: float, flours: tuple[Flour, ...]
) -> tuple[Portions, float] | None:
    """One gram of a build, and its work; None when that ratio cannot make that hydration."""
    seed = 1.0 / ((1.0 + hydration) * (ratio + 1.0 / (1.0 + hydration_in)))
    try:
        portions = build(seed, 1.0, hydration, hydration_in=hydration_in)
        feeding = Feeding(
            ratio=(portions.starter_g, portions.flour_g, portions.water_g),
            celsius=celsius,
            flours=flours,
            hydration_in=hydration_in,
        )
    except InputError:
        return None
    return portions, work(feeding, 1.0)


def _made(
    mass_g: float,
    hydration: float,
    hydration_in: float,
    ratio: float,
    celsius: float,
    flours: tuple[Flour, ...],
) -> tuple[Portions, float] | None:
    unit = _unit(hydration, hydration_in, ratio, celsius, flours)
    return None if unit is None else (unit[0].scaled(mass_g), unit[1])


def _cost(wish: BakeWish, last: _Build, ripe_at: datetime) -> float:
    """Less is kinder: overnight, then a ratio near 1:3 or 1:4, which forgives an hour."""
    ratio = last.portions.flour_g / last.portions.starter_g
    asleep = wish.kitchen.awake.next_change(last.at) < ripe_at.astimezone(last.at.tzinfo)
    overnight = asleep and ratio <= 10.0
    return abs(math.log(ratio / _KINDEST)) + (0.0 if overnight else 1.5)


def _plan(wish: BakeWish, clock: _Clock, chain: tuple[_Build, ...]) -> BakePlan:
    return BakePlan(
        steps=tuple(
            BakeStep(
                at=one.at,
                do="levain" if one is chain[-1] else "build",
                portions=one.portions,
                ready=TimeSpread(
                    low=after(one.at, one.work * clock.low, wish.kitchen),
                    median=after(one.at, one.hours, wish.kitchen),
                    high=after(one.at, one.work * clock.high, wish.kitchen),
                ),
            )
            for one in chain
        )
    )


def _why(wish: BakeWish, clock: _Clock) -> Why:
    starts = []
    for ratio in _RATIOS:
        made = _made(
            wish.levain_g,
            wish.hydration,
            wish.hydration_in,
            ratio,
            wish.kitchen.celsius,
            wish.flours,
        )
        if made is not None:
            starts.append((made[0], before(wish.ripe_at, made[1] * clock.median, wish.kitchen)))
    in_time = [(portions, at) for portions, at in starts if at >= wish.first]
    if not in_time:
        return "too-soon"
    if not any(wish.kitchen.awake.at(at) for _, at in in_time):
        return "asleep"
    return "too-little"


def _nearest(wish: BakeWish, clock: _Clock) -> datetime | None:
    """The closest time to the one wanted that some plan meets, later before earlier when both are."""
    if _fewest_builds(wish) > _MOST_BUILDS:
        return None
    up = wish.kitchen.awake
    for index in range(1, int(_FARTHEST / _SEARCH) + 1):
        for sign in (1, -1):
            at = _shifted(wish.ripe_at, sign * index * _SEARCH)
            if at <= wish.first or (up.at(wish.ripe_at) and not up.at(at)):
                continue
            if _chain(wish, clock, at) is not None:
                return at
    return None


def _on_the_step(at: datetime) -> datetime:
    """To the next whole five minutes of the clock."""
    over = timedelta(minutes=at.minute % 5, seconds=at.second, microseconds=at.microsecond)
    return at if not over else _shifted(at, _STEP - over if over > _STEP / 2 else -over)


def _shifted(at: datetime, by: timedelta) -> datetime:
    return (at.astimezone(UTC) + by).astimezone(at.tzinfo)


__all__ = [
    "HOUR", "Awake", "BakePlan", "BakeStep", "BakeWish", "CannotBake", "Kitchen", "TimeSpread",
    "plan_bake",
]  # fmt: skip
