"""Units and how people write them: an amount in words to a number and a unit, exactly.

The units are pint's arithmetic over a small registry of our own, built when first used: its default
one costs a third of a second. All factors are exact by definition (F-148..F-156).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from bot.culture.quantities import Range
from bot.errors import InputError

if TYPE_CHECKING:
    import pint

Heap: TypeAlias = Literal["level", "heaping"]
Dimension: TypeAlias = Literal["mass", "volume", "temperature"]

MOST = 1_000_000.0
ABSOLUTE_ZERO_C = -273.15
HOTTEST_C = 1000.0

_DEFINITIONS = (
    "gram = [mass] = g",
    "kilogram = 1000 * gram = kg",
    "milligram = 0.001 * gram = mg",
    "ounce = 28.349523125 * gram = oz",  # F-152, NIST Handbook 44 App. C, exact, from memory
    "pound = 453.59237 * gram = lb",  # F-153, the same
    "millilitre = [volume] = ml",
    "litre = 1000 * millilitre = l",
    "decilitre = 100 * millilitre = dl",
    "centilitre = 10 * millilitre = cl",
    "teaspoon = 4.92892159375 * millilitre = tsp",  # F-150, exact US definition
    "tablespoon = 14.78676478125 * millilitre = tbsp",  # F-149
    "fluid_ounce = 29.5735295625 * millilitre = floz",  # F-151
    "cup = 236.5882365 * millilitre",  # F-148
    "pint = 473.176473 * millilitre",  # F-154, from memory
    "quart = 946.352946 * millilitre",  # F-154, from memory
    "gallon = 3785.411784 * millilitre",
    "metric_cup = 250 * millilitre",  # F-159, from memory
    "kelvin = [temperature]; offset: 0 = K",
    "celsius = kelvin; offset: 273.15",
    "fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9",  # F-156, exact
)

_NAMES: dict[str, tuple[str, ...]] = {
    "gram": ("g", "gr", "gm", "gram", "gramme"),
    "kilogram": ("kg", "kilo", "kilogram"),
    "milligram": ("mg", "milligram"),
    "ounce": ("oz", "ounce"),
    "pound": ("lb", "pound"),
    "millilitre": ("ml", "cc", "millilitre", "milliliter"),
    "litre": ("l", "litre", "liter"),
    "decilitre": ("dl", "decilitre", "deciliter"),
    "centilitre": ("cl", "centilitre", "centiliter"),
    "teaspoon": ("tsp", "teaspoon", "t"),
    "tablespoon": ("tbsp", "tbs", "tbl", "tablespoon", "T"),
    "fluid_ounce": ("floz", "fl oz", "fluid ounce", "fl ounce", "fluid oz", "fl_oz"),
    "cup": ("cup", "us cup", "c"),
    "metric_cup": ("metric cup", "metric_cup"),
    "pint": ("pint", "pt"),
    "quart": ("quart", "qt"),
    "gallon": ("gallon", "gal"),
    "celsius": ("celsius", "centigrade", "degc", "deg c", "degree c", "degree celsius", "C"),
    "fahrenheit": ("fahrenheit", "degf", "deg f", "degree f", "degree fahrenheit", "F", "f"),
}
TEMPERATURES = ("celsius", "fahrenheit")
_MASSES = ("gram", "kilogram", "milligram", "ounce", "pound")
SPOONS = ("teaspoon", "tablespoon")
CUPS = ("cup", "metric_cup")

_FRACTIONS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5",
    "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_WORDS = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_NUMBER = r"[+-]?(?:\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?"
_AMOUNT = re.compile(rf"\s*({_NUMBER})(?:\s*(?:-|–|to|or)\s*({_NUMBER}))?\s*(.*?)\s*", re.DOTALL)
_HEDGE = re.compile(r"^(?:about|around|roughly|approx\.?|approximately|~|ca\.?)\s*", re.IGNORECASE)
_HALF = re.compile(r"\b(?:a\s+half(?:\s+(?:a|of\s+a)\b)?|half\s+an?\b|half\b)\s*", re.IGNORECASE)
_AND = re.compile(r"\s+and\s+(?=\d)", re.IGNORECASE)
_HEAPING = re.compile(r"\(?\b(?:heaping|heaped|rounded|generous|big)\b\)?", re.IGNORECASE)
_LEVEL = re.compile(r"\(?\b(?:level|levelled|leveled|scant|flat)\b\)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """So much of a unit, as told: "2-3 heaping tbsp". ``unit`` is a name of this module's registry."""

    value: Range
    unit: str
    heap: Heap = "level"

    @property
    def dimension(self) -> Dimension:
        return dimension_of(self.unit)


def parse_amount(text: str, *, c_is_cup: bool = False) -> Amount:
    """ "1 1/2 cups", "½ cup", "2 heaping tbsp", "70 F". Raises InputError naming what is missing."""
    if len(text) > 100:
        raise InputError("amount is too long: it must be a number and a unit, such as 1/2 cup")
    plain = text
    for sign, fraction in _FRACTIONS.items():
        plain = plain.replace(sign, f" {fraction}")
    plain = plain.replace("⁄", "/").replace("−", "-").replace("º", "°")
    plain = re.sub(r"(?<=\d),(?=\d{3}(?!\d))", "", plain)
    plain = re.sub(r"(?<=\d),(?=\d{1,2}(?!\d))", ".", plain)
    heap: Heap = "heaping" if _HEAPING.search(plain) else "level"
    plain = _HEDGE.sub("", _LEVEL.sub(" ", _HEAPING.sub(" ", plain)).strip())
    plain = _AND.sub(" ", _HALF.sub("1/2 ", plain))
    first, _, rest = plain.partition(" ")
    if first.lower() in _WORDS:
        plain = f"{_WORDS[first.lower()]} {rest}"
    match = _AMOUNT.fullmatch(plain)
    if match is None:
        raise InputError(f"amount {text[:40]!r} has no number: write it as 1/2 cup, 50 g or 70 F")
    low = _number(match[1])
    high = low if match[2] is None else _number(match[2])
    if not (abs(low) <= MOST and abs(high) <= MOST):
        raise InputError(f"amount {text[:40]!r} must be at most {MOST:,.0f}")
    if low > high:
        raise InputError(f"amount {text[:40]!r} runs backwards: the smaller number comes first")
    unit = unit_named(match[3], c_is_cup=c_is_cup)
    if unit not in TEMPERATURES and low < 0.0:
        raise InputError(f"amount {text[:40]!r} is under 0: it must be 0 or more")
    return Amount(value=Range(low, high), unit=unit, heap=heap)


def unit_named(text: str, *, c_is_cup: bool = False) -> str:
    """The registry's name of a unit. ``c_is_cup`` reads a bare "c" or "C" as a cup, not a degree."""
    plain = " ".join(text.replace("°", " deg ").replace(".", " ").split())
    if not plain:
        raise InputError("amount needs a unit such as g, ml, cup, tbsp, oz, C or F")
    plain = re.sub(r"^deg(?:ree)?s?\b", "deg", plain, flags=re.IGNORECASE)
    plain = re.sub(r"\s+of(?:\s.*)?$", "", plain)
    if plain in ("c", "C") and not c_is_cup:
        return "celsius"
    if plain == "C":
        return "cup"
    names = _unit_names()
    for spelled in (plain, plain.lower(), plain.lower().removesuffix("s")):
        if spelled in names:
            return names[spelled]
    raise InputError(
        f"{text.strip()[:40]!r} is not a unit known here: use g, kg, oz, lb, ml, l, tsp, tbsp, cup,"
        " floz, C or F"
    )


def to_celsius(value: float, unit: str) -> float:
    """A temperature in °C. ``unit`` is C or F in any usual spelling.

    >>> round(to_celsius(70.0, "F"), 3)
    21.111
    """
    name = unit_named(unit)
    if name not in TEMPERATURES:
        raise InputError(f"{unit[:40]!r} is not a unit of temperature: use C or F")
    return to_unit(value, name, "celsius")


def to_unit(value: float, unit: str, target: str) -> float:
    """Between two units of one dimension, by the registry's names. Raises InputError outside its range."""
    if not math.isfinite(value):
        raise InputError("the amount must be a finite number")
    if unit == target:
        found = value
    else:
        found = float(_registry().Quantity(value, unit).to(target).magnitude)
    if unit in TEMPERATURES:
        celsius = (
            found
            if target == "celsius"
            else to_unit(value, unit, "celsius")
            if unit != "celsius"
            else value
        )
        if not ABSOLUTE_ZERO_C <= celsius <= HOTTEST_C:
            raise InputError(
                f"a temperature must be {ABSOLUTE_ZERO_C:g} to {HOTTEST_C:g} °C, not {celsius:.6g} °C"
            )
    return found


@cache
def _registry() -> pint.UnitRegistry[Any]:
    import pint

    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(None)
    for definition in _DEFINITIONS:
        registry.define(definition)
    return registry


@cache
def _unit_names() -> dict[str, str]:
    return {spelled: name for name, all_spelled in _NAMES.items() for spelled in all_spelled}


def dimension_of(unit: str) -> Dimension:
    if unit in TEMPERATURES:
        return "temperature"
    return "mass" if unit in _MASSES else "volume"


def _number(text: str) -> float:
    whole, _, fraction = text.strip().rpartition(" ")
    if "/" not in text:
        return float(text)
    if whole and "/" not in whole:
        top, bottom = fraction.split("/")
        base = float(whole)
    else:
        top, bottom = text.split("/")
        base = 0.0
    if float(bottom) == 0.0:
        raise InputError(f"{text!r} divides by 0")
    part = float(top) / float(bottom)
    return base - part if base < 0.0 else base + part
