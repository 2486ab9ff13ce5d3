"""A bake planned backwards: so much levain, ripe at an instant, mixed by somebody who also sleeps.

The last build is chosen so that its median peak is the instant wanted; one overnight build is preferred.
Too little starter for that takes more builds, each ripe when the next one is mixed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

from bot.culture.curve import Feeding, work
from bot.culture.feeds import Portions, build
from bot.culture.rise import forecast
from bot.culture.vigour import Vigour, usual
from bot.culture.vocabulary import Flour
from bot.errors import InputError
from bot.plan.bake_wish import BakePlan, BakeStep, BakeWish, CannotBake, Why
from bot.plan.ripening import TimeSpread
from bot.plan.timeline import Awake, Kitchen, Timeline, timeline

_RATIOS = (*(halves / 2.0 for halves in range(2, 21)), 12.0, 15.0, 20.0)
"""New flour per seed, by weight: from 1:1 to 1:20; the trade's table has 1:1 to 1:10."""
_SEED_RATIOS = (1.0, 2.0, 3.0, 5.0, 8.0, 10.0)
_KINDEST = 3.5
_MOST_BUILDS = 4
_LONGEST_BUILD_H = 72.0
_WAITS = (1.0, 1.1, 1.2, 1.3)
"""How far past its peak a seed may be when it is used, as a share of the time to the peak."""
_STEP_MIN = 5.0
_NEAR = timedelta(days=2)
_FARTHEST = timedelta(days=7)
_SEARCH_MIN = (15, 60)
"""How finely a time that can be met is looked for, within two days and beyond."""


@dataclass(frozen=True, slots=True)
class _Task:
    """A wish on its timeline: hours to the peak per unit of work, in the three quantiles, and the start."""

    wish: BakeWish
    line: Timeline
    low_h: float
    median_h: float
    high_h: float
    first: float


@dataclass(frozen=True, slots=True)
class _Build:
    """A build mixed at that minute, of so much work until its peak."""

    at: float
    portions: Portions
    work: float


def plan_bake(wish: BakeWish, vigour: Vigour | None = None) -> BakePlan | CannotBake:
    """The plan with the fewest builds, an overnight one first; or why not, and when instead."""
    task = _task(wish, vigour or usual())
    ripe_at = task.line.minute(wish.ripe_at)
    chain = _chain(task, ripe_at)
    if chain is not None:
        return _plan(task, chain)
    return CannotBake(why=_why(task, ripe_at), nearest=_nearest(task, ripe_at))


def _task(wish: BakeWish, vigour: Vigour) -> _Task:
    """All feeds of one kitchen share one spread: only the work differs, and scales it."""
    plain = Feeding(ratio=(1.0, 1.0, 1.0), celsius=wish.kitchen.celsius)
    peak, done = forecast(plain, vigour).peak_h, work(plain, 1.0)
    line = timeline(wish.kitchen, min(wish.first, wish.ripe_at), wish.ripe_at + 2 * _FARTHEST)
    return _Task(
        wish=wish,
        line=line,
        low_h=peak.low / done,
        median_h=peak.median / done,
        high_h=peak.high / done,
        first=line.minute(wish.first),
    )


def _chain(task: _Task, ripe_at: float) -> tuple[_Build, ...] | None:
    """The kindest chain of builds, the first one first."""
    wish, fewest = task.wish, _fewest_builds(task.wish)
    for builds in range(fewest, min(fewest + 1, _MOST_BUILDS) + 1):
        best: tuple[float, tuple[_Build, ...]] | None = None
        for last in _builds(task, ripe_at, wish.levain_g, wish.hydration, _RATIOS, (1.0,)):
            chain = _seed(task, last, builds - 1)
            if chain is None:
                continue
            cost = _cost(task, last, ripe_at)
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
        need_g /= _most_growth(wish)
        builds += 1
    return builds


def _most_growth(wish: BakeWish) -> float:
    """How many times its seed the leanest build of seed weighs."""
    return 1.0 + _SEED_RATIOS[-1] * (1.0 + wish.hydration_in)


def _seed(task: _Task, following: _Build, builds: int) -> tuple[_Build, ...] | None:
    """Builds that have the seed of the following one ripe when it is mixed; none when enough is there."""
    wish, need_g = task.wish, following.portions.starter_g
    if builds == 0:
        return () if need_g <= wish.have_g + 1e-9 else None
    if need_g > wish.have_g * math.pow(_most_growth(wish), builds) + 1e-9:
        return None
    for last in _builds(task, following.at, need_g, wish.hydration_in, _SEED_RATIOS, _WAITS):
        chain = _seed(task, last, builds - 1)
        if chain is not None:
            return (*chain, last)
    return None


def _builds(
    task: _Task,
    ripe_at: float,
    mass_g: float,
    hydration: float,
    ratios: tuple[float, ...],
    waits: tuple[float, ...],
) -> Iterator[_Build]:
    """Every build of that mass that is ripe then and can be mixed by somebody who is up."""
    wish = task.wish
    for ratio in ratios:
        unit = _unit(hydration, wish.hydration_in, ratio, wish.kitchen.celsius, wish.flours)
        if unit is None or unit[1] * task.median_h > _LONGEST_BUILD_H:
            continue
        for wait in waits:
            at = _on_the_step(task.line.before(ripe_at, unit[1] * task.median_h * wait))
            if at >= task.first and task.line.is_up(at):
                yield _Build(at=at, portions=unit[0].scaled(mass_g), work=unit[1])
                break


@lru_cache(maxsize=4096)
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


def _cost(task: _Task, last: _Build, ripe_at: float) -> float:
    """Less is kinder: overnight, then a ratio near 1:3 or 1:4, which forgives an hour."""
    ratio = last.portions.flour_g / last.portions.starter_g
    overnight = ratio <= 10.0 and task.line.sleeps_between(last.at, ripe_at)
    return abs(math.log(ratio / _KINDEST)) + (0.0 if overnight else 1.5)


def _plan(task: _Task, chain: tuple[_Build, ...]) -> BakePlan:
    line = task.line

    def ready(one: _Build) -> TimeSpread:
        low, median, high = (
            line.moment(line.after(one.at, one.work * hours))
            for hours in (task.low_h, task.median_h, task.high_h)
        )
        return TimeSpread(low=low, median=median, high=high)

    return BakePlan(
        steps=tuple(
            BakeStep(
                at=line.moment(one.at),
                do="levain" if one is chain[-1] else "build",
                portions=one.portions,
                ready=ready(one),
            )
            for one in chain
        )
    )


def _why(task: _Task, ripe_at: float) -> Why:
    wish = task.wish
    units = (
        _unit(wish.hydration, wish.hydration_in, ratio, wish.kitchen.celsius, wish.flours)
        for ratio in _RATIOS
    )
    starts = [task.line.before(ripe_at, unit[1] * task.median_h) for unit in units if unit]
    in_time = [at for at in starts if at >= task.first]
    if not in_time:
        return "too-soon"
    return "too-little" if any(map(task.line.is_up, in_time)) else "asleep"


def _nearest(task: _Task, ripe_at: float) -> datetime | None:
    """The closest time to the one wanted that some plan meets, later before earlier when both are.

    Somebody who wants it ripe while they are up is offered such times only.
    """
    if _fewest_builds(task.wish) > _MOST_BUILDS:
        return None
    by_day = task.line.is_up(ripe_at)
    for away in _distances():
        for at in (ripe_at + away, ripe_at - away):
            if at <= task.first or (by_day and not task.line.is_up(at)):
                continue
            if _chain(task, at) is not None:
                return task.line.moment(at)
    return None


def _distances() -> Iterator[float]:
    near, far = (int(span / timedelta(minutes=1)) for span in (_NEAR, _FARTHEST))
    yield from range(_SEARCH_MIN[0], near, _SEARCH_MIN[0])
    yield from range(near, far + 1, _SEARCH_MIN[1])


def _on_the_step(minute: float) -> float:
    """To the nearest whole five minutes of the clock."""
    return _STEP_MIN * math.floor(minute / _STEP_MIN + 0.5)


__all__ = [
    "Awake", "BakePlan", "BakeStep", "BakeWish", "CannotBake", "Kitchen", "TimeSpread", "Why",
    "plan_bake",
]  # fmt: skip
