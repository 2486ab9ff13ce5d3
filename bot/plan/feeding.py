"""What to feed now: the method's amounts, bent to a warm kitchen, and when they are due."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal, TypeAlias

from bot.culture.jar import fill
from bot.culture.state import Culture
from bot.culture.vocabulary import Fed
from bot.plan.method import Kitchen, Method, MethodDay

Warmth: TypeAlias = Literal["unknown", "very-cold", "cold", "mild", "warm", "hot"]

RESTED = timedelta(hours=16)
"""A daily feed less than this after the last one waits for the hour of the last one (our choice)."""

DAILY = timedelta(hours=24)

LEAST_RISE_ALLOWED_FOR = 2.0
"""The jar must have room for a doubling even on a day that seldom brings one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeding:
    """What to do at a feed, in grams. ``keep_words`` says ``keep_g`` in spoons."""

    keep_g: float
    keep_words: str
    flour_g: float
    water_g: float

    @property
    def total_g(self) -> float:
        return self.keep_g + self.flour_g + self.water_g


@dataclass(frozen=True, slots=True, kw_only=True)
class JarWarning:
    """At the rise to be expected ``jar_ml`` leaves too little room; ``needed_ml`` would do."""

    jar_ml: float
    needed_ml: float
    room: Literal["tight", "overflows"]


def warmth_of(kitchen: Kitchen, kitchen_c: float | None, culture: Culture) -> Warmth:
    """How warm it is for this jar; a jar moved to a warm or a cool spot is no longer the kitchen's."""
    if kitchen_c is None:
        return "unknown"
    if kitchen_c < kitchen.cold_below_c:
        if culture.spot == "warm":
            return "mild"
        return "very-cold" if kitchen_c < kitchen.very_cold_below_c else "cold"
    if kitchen_c > kitchen.warm_above_c:
        if culture.spot == "cool":
            return "mild"
        return "hot" if kitchen_c > kitchen.hot_above_c else "warm"
    return "mild"


def feeding_of(written: MethodDay) -> Feeding:
    """The amounts as they are written."""
    return Feeding(
        keep_g=written.keep_g,
        keep_words=written.keep_words,
        flour_g=written.flour_g,
        water_g=written.water_g,
    )


def feeding_on(method: Method, day: int, warmth: Warmth) -> Feeding:
    """That day's amounts: in the cold more is carried over (F-209), in the warmth less (F-210)."""
    usual, kitchen = feeding_of(method.on(day)), method.kitchen
    if warmth in ("cold", "very-cold") and day >= kitchen.cold_from_day:
        return replace(usual, keep_g=kitchen.cold_keep_g, keep_words=kitchen.cold_keep_words)
    if warmth in ("warm", "hot") and day >= kitchen.warm_from_day:
        return replace(usual, keep_g=kitchen.warm_keep_g, keep_words=kitchen.warm_keep_words)
    return usual


def own_feeding(culture: Culture) -> Feeding | None:
    """What this keeper weighs by themselves, if their last feed told it exactly."""
    fed = [deed.act for deed in culture.feeds if isinstance(deed.act, Fed)]
    if not fed:
        return None
    last = fed[-1]
    flour, water = last.flour_g, last.water_g
    if flour is None or water is None or not (flour.is_exact and water.is_exact):
        return None
    if flour.middle <= 0:
        return None
    keep_g = last.starter_g.middle if last.starter_g is not None else _kept_by_ratio(last)
    return Feeding(
        keep_g=keep_g or flour.middle,
        keep_words="",
        flour_g=flour.middle,
        water_g=water.middle,
    )


def _kept_by_ratio(fed: Fed) -> float | None:
    """The starter's mass where flour and ratio give it away."""
    if fed.ratio is None or fed.flour_g is None or fed.ratio[1] <= 0:
        return None
    return fed.flour_g.middle * fed.ratio[0] / fed.ratio[1]


def feed_later_at(culture: Culture, now: datetime) -> datetime | None:
    """When the next feed is due, if the last one is too fresh to feed again now; else None."""
    done = [feed.at for feed in culture.feeds]
    if culture.started_at is not None:
        done.append(culture.started_at)
    last = max((at for at in done if at <= now), default=None)
    if last is None or now - last >= RESTED:
        return None
    return last + DAILY


def jar_warning(culture: Culture, feeding: Feeding, rise: float) -> JarWarning | None:
    """Whether the chosen jar is too small for that feed at that height ratio (F-179)."""
    if culture.jar_ml is None:
        return None
    filled = fill(
        culture.jar_ml,
        feeding.keep_g,
        feeding.flour_g,
        feeding.water_g,
        max(rise, LEAST_RISE_ALLOWED_FOR),
    )
    if filled.room == "fits":
        return None
    return JarWarning(jar_ml=culture.jar_ml, needed_ml=filled.needed_ml, room=filled.room)
