"""What goes into a feed: exact mass balance over starter, flour and water, in grams.

Hydration is water over flour by weight (1.0 is 100 %), of everything in the jar, the starter's share
included (F-180..F-185, arithmetic).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bot.culture.curve import check_hydration, check_ratio
from bot.culture.vocabulary import Ratio
from bot.errors import InputError

MOST_G = 100_000.0
"""More than 100 kg is no kitchen's feed."""

TYPICAL_FLOUR_TO_STARTER = 1.0
"""New flour to starter when only the hydration is asked: the trade's daily 1:1:1 (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Portions:
    """A feed in grams: starter, new flour, new water. ``hydration_in`` is the starter's own."""

    starter_g: float
    flour_g: float
    water_g: float
    hydration_in: float = 1.0

    @property
    def total_g(self) -> float:
        return self.starter_g + self.flour_g + self.water_g

    @property
    def total_flour_g(self) -> float:
        return self.starter_g / (1.0 + self.hydration_in) + self.flour_g

    @property
    def total_water_g(self) -> float:
        return self.starter_g * self.hydration_in / (1.0 + self.hydration_in) + self.water_g

    @property
    def hydration(self) -> float:
        return self.total_water_g / self.total_flour_g

    @property
    def ratio(self) -> Ratio:
        """Starter, flour, water with the starter as 1."""
        return (1.0, self.flour_g / self.starter_g, self.water_g / self.starter_g)

    @property
    def starter_on_new_flour(self) -> float:
        return self.starter_g / self.flour_g

    @property
    def starter_on_total(self) -> float:
        return self.starter_g / self.total_g

    @property
    def prefermented_flour(self) -> float:
        """The share of all flour that came with the starter (F-182)."""
        return self.starter_g / (1.0 + self.hydration_in) / self.total_flour_g

    def scaled(self, factor: float) -> Portions:
        return Portions(
            starter_g=self.starter_g * factor,
            flour_g=self.flour_g * factor,
            water_g=self.water_g * factor,
            hydration_in=self.hydration_in,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """Portions as a kitchen scale or spoon can measure them, and what the rounding does."""

    portions: Portions
    hydration_off: float
    """Hydration after the rounding less before it."""
    strength_off: float
    """New flour per starter after the rounding over before it, less 1."""

    @property
    def matters(self) -> bool:
        """True when the feed is another one: hydration off by 5 points or the ratio by a tenth."""
        return abs(self.hydration_off) >= 0.05 or abs(self.strength_off) >= 0.1


def feed(ratio: Ratio, starter_g: float, *, hydration_in: float = 1.0) -> Portions:
    """So much starter fed at that ratio. Raises InputError for a ratio or a mass that cannot be."""
    check_ratio(ratio)
    check_hydration(hydration_in, "hydration_in")
    starter = checked_g(starter_g, "starter_g")
    return _settled(
        Portions(
            starter_g=starter,
            flour_g=starter * ratio[1] / ratio[0],
            water_g=starter * ratio[2] / ratio[0],
            hydration_in=hydration_in,
        )
    )


def feed_for(
    ratio: Ratio, want_g: float, *, keep_g: float = 0.0, hydration_in: float = 1.0
) -> Portions:
    """A feed at that ratio that yields ``want_g`` to use and leaves ``keep_g`` over."""
    total_g = _total(want_g, keep_g)
    whole = feed(ratio, 1.0, hydration_in=hydration_in)
    return whole.scaled(total_g / whole.total_g)


def to_hydration(
    starter_g: float,
    hydration_out: float,
    *,
    flour_g: float | None = None,
    hydration_in: float = 1.0,
) -> Portions:
    """The feed that brings a starter to another hydration in one go (F-185).

    ``flour_g`` is the new flour, None as much as the starter weighs; more when the starter alone
    brings too much water for that.
    """
    check_hydration(hydration_in, "hydration_in")
    check_hydration(hydration_out, "hydration_out")
    starter = checked_g(starter_g, "starter_g")
    seed_flour = starter / (1.0 + hydration_in)
    seed_water = starter - seed_flour
    if flour_g is None:
        flour = max(starter * TYPICAL_FLOUR_TO_STARTER, seed_water / hydration_out - seed_flour)
    else:
        flour = checked_g(flour_g, "flour_g")
    water = hydration_out * (flour + seed_flour) - seed_water
    if water < -1e-9 * starter:
        needed = seed_water / hydration_out - seed_flour
        raise InputError(
            f"flour_g {flour:g} is too little: the starter's own water needs at least {needed:.1f} g"
            f" of flour for hydration_out {hydration_out:g}"
        )
    return Portions(
        starter_g=starter, flour_g=flour, water_g=max(0.0, water), hydration_in=hydration_in
    )


def to_hydration_for(
    want_g: float, hydration_out: float, *, keep_g: float = 0.0, hydration_in: float = 1.0
) -> Portions:
    """As ``to_hydration``, scaled to yield ``want_g`` to use and leave ``keep_g`` over."""
    total_g = _total(want_g, keep_g)
    whole = to_hydration(1.0, hydration_out, hydration_in=hydration_in)
    return whole.scaled(total_g / whole.total_g)


def build(
    starter_g: float,
    want_g: float,
    hydration_out: float,
    *,
    keep_g: float = 0.0,
    hydration_in: float = 1.0,
) -> Portions:
    """What to add to exactly this starter for ``want_g + keep_g`` at that hydration.

    Raises InputError when the starter alone brings more flour or water than that holds.
    """
    check_hydration(hydration_in, "hydration_in")
    check_hydration(hydration_out, "hydration_out")
    starter = checked_g(starter_g, "starter_g")
    total_g = _total(want_g, keep_g)
    seed_flour = starter / (1.0 + hydration_in)
    flour = total_g / (1.0 + hydration_out) - seed_flour
    water = total_g - starter - flour
    if flour <= 0.0 or water < -1e-9 * total_g:
        raise InputError(
            f"starter_g {starter:g} cannot become {total_g:g} g at hydration {hydration_out:g}:"
            " it brings more flour or water than that holds"
        )
    return Portions(
        starter_g=starter, flour_g=flour, water_g=max(0.0, water), hydration_in=hydration_in
    )


def levain(
    levain_g: float, hydration: float, *, seed_on_new_flour: float, hydration_in: float = 1.0
) -> Portions:
    """A levain of that mass and hydration with the seed as a share of the new flour (F-183)."""
    check_hydration(hydration_in, "hydration_in")
    check_hydration(hydration, "hydration")
    mass = checked_g(levain_g, "levain_g")
    if not (math.isfinite(seed_on_new_flour) and 0.001 <= seed_on_new_flour <= 10.0):
        raise InputError("seed_on_new_flour must be 0.001 to 10 (starter over new flour by weight)")
    flour = mass / ((1.0 + hydration) * (1.0 + seed_on_new_flour / (1.0 + hydration_in)))
    seed = seed_on_new_flour * flour
    return build(seed, mass, hydration, hydration_in=hydration_in)


def weighed(portions: Portions, step_g: float = 1.0) -> Weighed:
    """Rounded to whole steps of a scale or a spoon, never to nothing; says what that does."""
    step = checked_g(step_g, "step_g")

    def whole(grams: float) -> float:
        steps = math.floor(grams / step + 0.5)
        return step * max(1 if grams > 0.0 else 0, steps)

    rounded = Portions(
        starter_g=whole(portions.starter_g),
        flour_g=whole(portions.flour_g),
        water_g=whole(portions.water_g),
        hydration_in=portions.hydration_in,
    )
    return Weighed(
        portions=rounded,
        hydration_off=rounded.hydration - portions.hydration,
        strength_off=portions.starter_on_new_flour / rounded.starter_on_new_flour - 1.0,
    )


def take_out_g(have_g: float, keep_g: float) -> float:
    """How much to take out so that ``keep_g`` stays; 0 when there is less than that."""
    return max(0.0, checked_g(have_g, "have_g") - checked_g(keep_g, "keep_g"))


def without_discard_g(start_g: float, ratio: Ratio, feeds: int) -> float:
    """What a jar weighs after so many feeds when nothing is ever taken out (F-186)."""
    check_ratio(ratio)
    if not 0 <= feeds <= 60:
        raise InputError(f"feeds is {feeds}: it must be 0 to 60")
    return checked_g(start_g, "start_g") * (sum(ratio) / ratio[0]) ** feeds


def flour_for_g(portions: Portions, *, feeds_per_day: float, days: float) -> float:
    """The flour that so many days of this feed take, in grams."""
    if not (math.isfinite(feeds_per_day * days) and feeds_per_day >= 0.0 and days >= 0.0):
        raise InputError("feeds_per_day and days must be 0 or more")
    return portions.flour_g * feeds_per_day * days


def blend_g(flour_g: float, parts: Sequence[float]) -> tuple[float, ...]:
    """That flour split over parts such as (8, 2), in grams; they add up to it."""
    whole = checked_g(flour_g, "flour_g")
    if not parts or any(not math.isfinite(part) or part < 0.0 for part in parts) or sum(parts) <= 0:
        raise InputError("the parts of a blend must be 0 or more, and one of them more than 0")
    return tuple(whole * part / sum(parts) for part in parts)


def checked_g(grams: float, what: str) -> float:
    """Raises InputError unless it is a mass of a kitchen: more than 0 and at most 100,000 g."""
    if not (math.isfinite(grams) and 0.0 < grams <= MOST_G):
        raise InputError(f"{what} is {grams:g}: it must be more than 0 and at most {MOST_G:,.0f} g")
    return grams


def _total(want_g: float, keep_g: float) -> float:
    if not (math.isfinite(keep_g) and 0.0 <= keep_g <= MOST_G):
        raise InputError(f"keep_g is {keep_g:g}: it must be 0 to {MOST_G:,.0f} g")
    return checked_g(want_g, "want_g") + keep_g


def _settled(portions: Portions) -> Portions:
    check_hydration(portions.hydration, "the hydration of this feed")
    return portions
