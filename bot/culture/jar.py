"""Room in the jar: how full it is now, how full at the peak, and whether that is too full."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bot.culture.numbers import section
from bot.culture.vigour import LEAST_RISE, MOST_RISE
from bot.culture.vocabulary import Ratio
from bot.errors import InputError

SMALLEST_ML, LARGEST_ML = 10.0, 100_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class JarFill:
    """Millilitres: just after the feed, at the peak, and what the jar ought to hold at least.

    ``room`` is ``fits`` with a quarter to spare above the peak, ``tight`` with less, ``overflows``
    without any (F-179, common practice).
    """

    volume_ml: float
    top_ml: float
    needed_ml: float
    room: Literal["fits", "tight", "overflows"]

    @property
    def fits(self) -> bool:
        return self.room == "fits"


def fill(jar_ml: float, starter_g: float, flour_g: float, water_g: float, rise: float) -> JarFill:
    """How that feed fills a straight jar when it rises to ``rise`` times its height.

    Raises InputError for a jar outside 10..100,000 ml, masses under 0 or nothing at all, a rise outside
    1..10.
    """
    _check_jar(jar_ml)
    _check_rise(rise)
    for grams, what in ((starter_g, "starter_g"), (flour_g, "flour_g"), (water_g, "water_g")):
        if not (math.isfinite(grams) and 0.0 <= grams <= 100_000.0):
            raise InputError(f"{what} is {grams:g}: it must be 0 to 100,000 g")
    mass_g = starter_g + flour_g + water_g
    if mass_g <= 0.0:
        raise InputError("starter_g, flour_g and water_g are all 0: there is nothing in the jar")
    volume_ml = mass_g / section("density")["starter"]
    top_ml = volume_ml * rise
    needed_ml = top_ml * section("jar")["spare"]
    return JarFill(
        volume_ml=volume_ml,
        top_ml=top_ml,
        needed_ml=needed_ml,
        room="fits" if needed_ml <= jar_ml else "tight" if top_ml <= jar_ml else "overflows",
    )


def largest_starter_g(jar_ml: float, ratio: Ratio, rise: float) -> float:
    """The most starter, in grams, that can be fed at that ratio in that jar with a quarter to spare."""
    _check_jar(jar_ml)
    _check_rise(rise)
    mass_g = jar_ml / section("jar")["spare"] / rise * section("density")["starter"]
    return mass_g * ratio[0] / sum(ratio)


def _check_jar(jar_ml: float) -> None:
    if not (math.isfinite(jar_ml) and SMALLEST_ML <= jar_ml <= LARGEST_ML):
        raise InputError(
            f"jar_ml is {jar_ml:g}: it must be {SMALLEST_ML:g} to {LARGEST_ML:,.0f} ml"
        )


def _check_rise(rise: float) -> None:
    if not (math.isfinite(rise) and LEAST_RISE <= rise <= MOST_RISE):
        raise InputError(
            f"rise is {rise:g}: it must be {LEAST_RISE:g} to {MOST_RISE:g} (2.0 is doubled)"
        )
