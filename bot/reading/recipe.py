"""Habits told in passing: "50 g flour 100 g water each day", "keep 200g", "day 5 here".

They are no acts (nothing was done now), so the reading leaves them out; the advice wants them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_NUMBER = r"(\d+(?:[.,]\d+)?|\d+\s*/\s*\d+|a half|half a|half|a quarter|quarter|an?|one|two|three)"
_UNIT = r"\s*(g|grams?|gr|ml|oz|cups?|c|tbsps?|tablespoons?|heaped tablespoons?|tsps?|teaspoons?|spoons?|scoops?)?\b"
_OF = r"\s*(?:of\s+)?(?:[a-z]+\s+){0,2}?"
_FLOUR = re.compile(_NUMBER + _UNIT + _OF + r"(?:flour|rye|wholemeal|wholewheat|ap|spelt)\b")
_WATER = re.compile(_NUMBER + _UNIT + _OF + r"water\b")
_STARTER = re.compile(_NUMBER + _UNIT + _OF + r"(?:starter|culture|sourdough|old)\b")
_KEEP = re.compile(
    r"\b(?:keep|kept|keeping|save)\s+(?:about |around |roughly )?" + _NUMBER + r"\s*(g|grams?|gr)\b"
)
_DAY = re.compile(r"\bday\s*#?\s*(\d{1,3}|one|two|three|four|five|six|seven|eight|nine|ten)\b")
_OLD = re.compile(
    r"\b(\d{1,3}|one|two|three|four|five|six|seven)\s*(day|week|month|year)s?[\s-]*old\b"
)
_SPAN = re.compile(
    r"\b(\d{1,3}|an?|one|two|three|four|five|six|seven|eight|nine|ten)\s*(?:whole |full |entire |good )?(day|week|month|year)s?\b"
)
_RATIO = re.compile(r"\b(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)\b")
_LISTED = re.compile(
    r"\b(\d{2,4})\s*g?\s*[/+]\s*(\d{2,4})\s*g?\s*[/+]\s*(\d{2,4})\s*g?\b(?!\s*[/+])"
)
"""Three amounts in a row, as bakers write them: starter, flour, water."""

_WORDS = {
    "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0,
    "seven": 7.0, "eight": 8.0, "nine": 9.0, "ten": 10.0, "half": 0.5, "half a": 0.5, "a half": 0.5,
    "quarter": 0.25, "a quarter": 0.25,
}  # fmt: skip
_SPOKEN_DAYS = {"day": 1, "week": 7, "month": 30, "year": 365}

FLOUR_G = {"cup": 125.0, "tbsp": 7.8, "tsp": 2.6}
"""Grams of white flour, spooned and levelled (F-163)."""
WATER_G = {"cup": 236.2, "tbsp": 14.8, "tsp": 4.9}
"""Grams of water at 20 °C (F-162)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """What a feed is made of, in grams where that can be said."""

    starter_g: float | None = None
    flour_g: float | None = None
    water_g: float | None = None
    by_volume: bool = False

    @property
    def wetness(self) -> float | None:
        """Water over flour by weight."""
        if not self.flour_g or self.water_g is None:
            return None
        return self.water_g / self.flour_g

    @property
    def size(self) -> float | None:
        """Flour over old starter by weight."""
        if not self.starter_g or self.flour_g is None:
            return None
        return self.flour_g / self.starter_g


def recipe(text: str) -> Recipe:
    """The feed a message describes as a habit; all None when it describes none.

    >>> recipe("i do 50 g flour 100g water each day").wetness
    2.0
    """
    said = text.casefold()
    flour, by_cup = _mass(_FLOUR.search(said), FLOUR_G)
    water, _ = _mass(_WATER.search(said), WATER_G)
    starter, _ = _mass(_KEEP.search(said) or _STARTER.search(said), WATER_G)
    ratio = _LISTED.search(said) or _RATIO.search(said)
    if flour is None and ratio is not None and float(ratio[1]) > 0:
        starter, flour, water = (float(part) for part in ratio.groups())
    return Recipe(starter_g=starter, flour_g=flour, water_g=water, by_volume=by_cup)


def told_day(text: str) -> float | None:
    """The age of a culture in days as its keeper tells it ("day 5", "3 weeks old")."""
    said = text.casefold()
    if found := _DAY.search(said):
        return _number(found[1])
    if found := _OLD.search(said):
        count = _number(found[1])
        return None if count is None else count * _SPOKEN_DAYS[found[2]]
    return None


def told_span(text: str) -> float | None:
    """How many days a message speaks of ("5 weeks", "a month", "3 months"); None for no span.

    >>> told_span("havent fed it in 5 weeks")
    35.0
    """
    spans = [
        count * _SPOKEN_DAYS[found[2]]
        for found in _SPAN.finditer(text.casefold())
        if (count := _number(found[1])) is not None
    ]
    return max(spans, default=None)


def _mass(found: re.Match[str] | None, per: dict[str, float]) -> tuple[float | None, bool]:
    if found is None:
        return None, False
    amount = _number(found[1])
    unit = found[2] or ""
    if amount is None or (not unit and not found[1][0].isdigit()):
        return None, False
    match unit[:2]:
        case "cu" | "c":
            return amount * per["cup"], True
        case "tb" | "ta" | "sp" | "sc" | "he":
            return amount * per["tbsp"], True
        case "ts" | "te":
            return amount * per["tsp"], True
        case "oz":
            return amount * 28.35, False
        case _:
            return amount, False


def _number(written: str) -> float | None:
    if written in _WORDS:
        return _WORDS[written]
    top, _, bottom = written.replace(",", ".").partition("/")
    try:
        return float(top) / float(bottom) if bottom else float(top)
    except (ValueError, ZeroDivisionError):
        return None
