"""Weights, volumes, spoons and cups of flour, water and starter, and degrees, one in terms of the other.

Between volume and weight stands the ingredient: water at 20 °C is exact (F-161), flour by the cup and
starter by the spoon are ranges (F-163..F-169, F-172..F-176).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

from bot.culture.numbers import section
from bot.culture.quantities import Range
from bot.culture.units import (
    CUPS,
    MOST,
    SPOONS,
    TEMPERATURES,
    Amount,
    dimension_of,
    parse_amount,
    to_celsius,
    to_unit,
    unit_named,
)
from bot.culture.vocabulary import Flour, Units
from bot.culture.water import density_g_per_ml
from bot.errors import InputError

__all__ = [
    "Ingredient",
    "KitchenMeasure",
    "Measured",
    "convert",
    "grams_of",
    "kitchen_measure",
    "to_celsius",
    "volume_ml",
]

Ingredient: TypeAlias = Flour | Literal["flour", "water", "starter"]

ROOM_C = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """An amount in the unit asked for; ``low == high`` when the conversion is exact."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class KitchenMeasure:
    """Grams as a person measures them. ``grams`` is what was meant, ``quantity`` of ``unit`` what to take.

    ``quantity`` is a number of halves, thirds or quarters for cups and spoons, whole grams for a scale.
    ``ounces`` is the weight once more, to a tenth.
    """

    grams: float
    quantity: float
    unit: Literal["g", "cup", "tbsp", "tsp", "oz"]
    ounces: float


def convert(amount: str, of: Ingredient | None, to: str) -> Measured:
    """The amount in another unit, across weight and volume by the ingredient.

    Raises InputError when there is no way from one to the other ("70 F" in grams).
    """
    target = unit_named(to, c_is_cup=to.strip() == "c" and of is not None)
    told = parse_amount(amount, c_is_cup=of is not None and target not in TEMPERATURES)
    wanted = dimension_of(target)
    if "temperature" in (told.dimension, wanted):
        if told.dimension != wanted:
            raise InputError(f"{amount[:40]!r} cannot be told in {to[:40]!r}: one is a temperature")
        return _exact(told, target)
    if told.dimension == wanted and not _heaps(told, of):
        return _exact(told, target)
    if of is None:
        raise InputError(f"{amount[:40]!r} in {to[:40]!r} depends on what it is: name it with 'of'")
    middle, low, high = _grams(told, of)
    if wanted == "mass":
        return Measured(
            value=to_unit(middle, "gram", target),
            low=to_unit(low, "gram", target),
            high=to_unit(high, "gram", target),
        )
    usual, light, dense = _density(of)
    if told.dimension == "volume":
        # The same stuff before and after: only the heap is in doubt.
        light, dense = dense, light
    return Measured(
        value=to_unit(middle / usual, "millilitre", target),
        low=to_unit(low / dense, "millilitre", target),
        high=to_unit(high / light, "millilitre", target),
    )


def grams_of(amount: str, of: Ingredient) -> Range:
    """What an amount weighs, as a range: exact for weights and for water, wide for cups and spoons.

    >>> grams_of("1 cup", "white")
    Range(low=110.0, high=145.0)
    """
    told = parse_amount(amount, c_is_cup=True)
    if told.dimension == "temperature":
        raise InputError(f"{amount[:40]!r} is a temperature, not an amount")
    _, low, high = _grams(told, of)
    return Range(low, high)


def volume_ml(amount: str, of: Ingredient) -> Range:
    """What room an amount takes, in millilitres, as a range."""
    found = convert(amount, of, "ml")
    return Range(found.low, found.high)


def kitchen_measure(grams: float, of: Ingredient, units: Units) -> KitchenMeasure:
    """Grams as this person measures: whole grams on a scale, or the nearest cup or spoon.

    A cup counts in quarters and thirds, a tablespoon in halves, a teaspoon in quarters.
    """
    if not (math.isfinite(grams) and 0.0 <= grams <= MOST):
        raise InputError(f"grams is {grams:g}: it must be 0 to {MOST:,.0f}")
    ounces = round(to_unit(grams, "gram", "ounce"), 1)
    if units == "metric":
        step = 1.0 if grams >= 5.0 else 0.5
        return KitchenMeasure(
            grams=grams, quantity=round(grams / step) * step, unit="g", ounces=ounces
        )
    usual, _, _ = _density(of)
    room_ml = grams / usual
    cups = to_unit(room_ml, "millilitre", "cup")
    if cups >= 0.225:
        parts = (0.0, 0.25, 1 / 3, 0.5, 2 / 3, 0.75, 1.0)
        quantity = math.floor(cups) + min(parts, key=lambda part: abs(cups % 1.0 - part))
        return KitchenMeasure(grams=grams, quantity=quantity, unit="cup", ounces=ounces)
    spoons = to_unit(room_ml, "millilitre", "tablespoon")
    if spoons >= 0.9:
        quantity = round(spoons * 2.0) / 2.0
        return KitchenMeasure(grams=grams, quantity=quantity, unit="tbsp", ounces=ounces)
    small = to_unit(room_ml, "millilitre", "teaspoon")
    quantity = max(0.25 if grams > 0.0 else 0.0, round(small * 4.0) / 4.0)
    return KitchenMeasure(grams=grams, quantity=quantity, unit="tsp", ounces=ounces)


def _heaps(told: Amount, of: Ingredient | None) -> bool:
    return told.heap == "heaping" and told.unit in (*SPOONS, *CUPS) and of != "water"


def _grams(told: Amount, of: Ingredient) -> tuple[float, float, float]:
    """Middle, low, high in grams."""
    spread = (told.value.middle, told.value.low, told.value.high)
    if told.dimension == "mass":
        middle, low, high = (to_unit(point, told.unit, "gram") for point in spread)
        return middle, low, high
    middle, low, high = (
        to_unit(point, told.unit, "millilitre") * dense
        for point, dense in zip(spread, _density(of), strict=True)
    )
    if _heaps(told, of):
        heap, name = section("heap"), "cup" if told.unit in CUPS else "spoon"
        return middle * heap[name], low * heap[f"{name}_low"], high * heap[f"{name}_high"]
    return middle, low, high


def _density(of: Ingredient) -> tuple[float, float, float]:
    """Usual, lowest and highest grams per millilitre as a kitchen measures it."""
    if of == "water":
        exact = density_g_per_ml(ROOM_C)
        return exact, exact, exact
    if of == "starter":
        density = section("density")
        return density["starter"], density["starter_low"], density["starter_high"]
    flour: Flour = "white" if of == "flour" else of
    cup, cup_ml = section("cup"), to_unit(1.0, "cup", "millilitre")
    return cup[flour] / cup_ml, cup[f"{flour}_low"] / cup_ml, cup[f"{flour}_high"] / cup_ml


def _exact(told: Amount, target: str) -> Measured:
    return Measured(
        value=to_unit(told.value.middle, told.unit, target),
        low=to_unit(told.value.low, told.unit, target),
        high=to_unit(told.value.high, told.unit, target),
    )
