"""How heavy water is: Kell's equation of 1975 (F-161)."""

from __future__ import annotations

import math

from bot.culture.numbers import section
from bot.errors import InputError

COLDEST_C, HOTTEST_C = 0.0, 100.0


def density_g_per_ml(celsius: float) -> float:
    """Grams per millilitre of water at normal pressure. Raises InputError outside 0..100 °C.

    The copy the equation was seen in has two digits of the last coefficient swapped; the handbook has
    the one that gives 998.204 kg/m3 at 20 °C.

    >>> round(density_g_per_ml(20.0), 6)
    0.998204
    """
    if not (math.isfinite(celsius) and COLDEST_C <= celsius <= HOTTEST_C):
        raise InputError(f"celsius is {celsius:g}: it must be {COLDEST_C:g} to {HOTTEST_C:g} °C")
    number = section("water")
    kg_per_m3 = sum(number[f"c{power}"] * celsius**power for power in range(6))
    return kg_per_m3 / (1.0 + number["d1"] * celsius) / 1000.0
