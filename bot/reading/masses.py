"""Grams of what was told in grams, ounces or kitchen measures."""

from __future__ import annotations

from math import hypot
from typing import Literal

from bot.culture.numbers import section
from bot.culture.quantities import Range
from bot.reading.amounts import Amount

Stuff = Literal["flour", "water", "starter"]

_GRAMS = {"gram": 1.0, "kilo": 1000.0, "ounce": 28.349523125, "pound": 453.59237}
_ML = {
    "ml": 1.0, "cl": 10.0, "dl": 100.0, "litre": 1000.0,
    "cup": 236.588, "tbsp": 14.787, "tsp": 4.929,
}  # fmt: skip
_EXACT = frozenset({"ml", "cl", "dl", "litre"})
_DENSITY = {"flour": (0.47, 0.61), "water": (0.98, 1.03), "starter": (0.92, 1.12)}


def grams(amount: Amount, of: Stuff, unit: str = "") -> Range | None:
    """The mass in grams, a range for a kitchen measure; None for a spoon of unknown size.

    ``unit`` is that of a bare number, carried over from the amount before ("two spoons of flour and
    one of water"); without one a bare number is grams.
    """
    unit = amount.unit or unit
    if unit.startswith("heaped "):
        return _heaped(amount, of, unit.removeprefix("heaped "))
    if unit in _GRAMS:
        return Range(amount.low, amount.high).scaled(_GRAMS[unit])
    if unit in _ML:
        low, high = _DENSITY[of]
        if unit in _EXACT:
            low, high = (1.0, 1.0) if of == "water" else (low, high)
        return Range(amount.low * _ML[unit] * low, amount.high * _ML[unit] * high)
    if unit in ("", "part") and not amount.part:
        return Range(amount.low, amount.high)
    return None


def _heaped(amount: Amount, of: Stuff, unit: str) -> Range:
    """A heap over a level measure (F-176); water does not heap.

    How dense it lies and how high it heaps are apart, so the two spreads add as squares.
    """
    low, high = _DENSITY[of]
    if of == "water":
        return Range(amount.low * _ML[unit] * low, amount.high * _ML[unit] * high)
    heap, name = section("heap"), "cup" if unit == "cup" else "spoon"
    middle = _ML[unit] * (low + high) / 2 * heap[name]
    dense = (high - low) / (high + low)
    high_heap, low_heap = heap[f"{name}_high"], heap[f"{name}_low"]
    spread = hypot(dense, (high_heap - low_heap) / (high_heap + low_heap))
    return Range(amount.low * middle * (1 - spread), amount.high * middle * (1 + spread))
