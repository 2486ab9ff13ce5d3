"""A number with its unit, its hedge and its range: the value, and the kinds of unit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

Hedge: TypeAlias = Literal["", "approx", "under", "justover", "over", "below"]
Kind: TypeAlias = Literal[
    "mass", "volume", "length", "time", "warmth", "percent", "times", "part", "bare"
]

_KIND: dict[str, Kind] = {
    "gram": "mass", "kilo": "mass", "ounce": "mass", "pound": "mass",
    "ml": "volume", "cl": "volume", "dl": "volume", "litre": "volume",
    "cup": "volume", "tbsp": "volume", "tsp": "volume", "spoon": "volume",
    "heaped cup": "volume", "heaped tbsp": "volume", "heaped tsp": "volume",
    "cm": "length", "mm": "length", "inch": "length", "finger": "length",
    "hour": "time", "minute": "time", "day": "time", "week": "time", "fortnight": "time",
    "month": "time",
    "celsius": "warmth", "fahrenheit": "warmth", "degree": "warmth",
    "percent": "percent", "times": "times", "part": "part", "": "bare",
}  # fmt: skip


_LENGTH_MM = {"mm": 1.0, "cm": 10.0, "inch": 25.4, "finger": 20.0}
_HOURS = {
    "minute": 1 / 60,
    "hour": 1.0,
    "day": 24.0,
    "week": 168.0,
    "fortnight": 336.0,
    "month": 720.0,
}


@dataclass(frozen=True, slots=True)
class Amount:
    """A number and its unit as told, over tokens ``first..last`` (end excluded).

    ``low..high`` is wider than ``value`` only for a told range. ``worded`` is true of a number
    written in letters, ``part`` of one that is a fraction word or fraction ("half", "1/3").
    """

    first: int
    last: int
    value: float
    low: float
    high: float
    unit: str
    hedge: Hedge
    worded: bool
    part: bool
    signed: bool
    spaced: bool

    @property
    def kind(self) -> Kind:
        return kind_of(self.unit)

    @property
    def hours(self) -> float:
        return self.value * _HOURS[self.unit]

    @property
    def millimetres(self) -> float:
        return self.value * _LENGTH_MM[self.unit]


def kind_of(unit: str) -> Kind:
    """What a unit measures; "bare" for none. KeyError: not a unit of the lexicon."""
    return _KIND[unit]
