"""Amounts worked out from what a question names: the jar for a feed, the feed for a recipe."""

from __future__ import annotations

import math
import re

from bot.reading.recipe import recipe
from bot.voice.catalogue import say

G_PER_ML = 1.08
"""Just-fed starter at equal weights, before it rises (F-164, common practice)."""
KEEP_BACK_G = 20
"""What stays for the next feed beside the amount wanted (common practice, no source)."""
_MOST_FLOUR = 5.0
"""More flour than this to a part of starter is split into two feeds."""

_GRAMS = r"(\d{2,4})\s*(?:g|gr|grams?)?\b"
_BETWEEN = r"(?:[a-z]+\s+){0,4}?"
_WANTED = re.compile(
    r"\b(?:need|needs|want|wants|wanted|recipe|for|get|make|build|reach|have|with|total)\s+"
    rf"{_BETWEEN}{_GRAMS}"
)
_HAD = re.compile(
    rf"\b(?:got|have|has|hold|holds|from|with|only|feed|feeding|use)\s+{_BETWEEN}{_GRAMS}"
)


def jar_size(text: str, usual_g: float) -> str:
    """Which jar the feed of the text wants, else one of ``usual_g`` grams in all.

    >>> jar_size("I feed 100g starter + 100g flour + 100g water", 75.0)[:38]
    '300 g in all fill about 280 ml after t'
    """
    told = recipe(text)
    parts = (told.starter_g, told.flour_g, told.water_g)
    known = [part for part in parts if part is not None]
    whole = len(known) == 3 and sum(known) >= 20
    mass_g = sum(known) if whole else usual_g
    fed_ml = mass_g / G_PER_ML
    return say(
        "advice.jar_size",
        mass=round(mass_g) if whole else _to(mass_g, 5),
        fed=_to(fed_ml, 10),
        low=_to(3 * fed_ml, 50),
        high=_to(4 * fed_ml, 50),
        least=_to(2.2 * fed_ml, 50),
    )


def target(text: str) -> str:
    """What to feed for the grams wanted, from the grams in the jar when those are named.

    >>> target("recipe wants 200g, got 40 g in the jar")[:61]
    '40 g of starter, 90 g of flour and 90 g of water make 220 g: '
    """
    said = " ".join(text.casefold().split())
    numbers = sorted({int(number) for number in re.findall(_GRAMS, said)})
    if not numbers:
        return say("advice.target_unknown")
    had = next((int(found[1]) for found in _HAD.finditer(said)), None)
    wanted = next(
        (int(found[1]) for found in _WANTED.finditer(said) if int(found[1]) != had), numbers[-1]
    )
    if had is not None and had > wanted and len(numbers) == 1:
        had = None
    if had == wanted:
        had = None
    total = _to(wanted + KEEP_BACK_G, 10)
    if had is not None and had >= total:
        return say("advice.target_enough", wanted=wanted)
    keep = _to(total / 5, 5) if had is None else had
    added = (total - keep) / 2
    if added / keep > _MOST_FLOUR:
        first = 2 * keep
        second = (total - keep - 2 * first) / 2
        return say(
            "advice.target_twice",
            keep=keep,
            half=first,
            flour=round(second),
            water=round(second),
            total=total,
            wanted=wanted,
            rest=total - wanted,
        )
    each = 5 * math.ceil(added / 5)
    total = keep + 2 * each
    return say(
        "advice.target",
        keep=keep,
        flour=each,
        water=each,
        total=total,
        wanted=wanted,
        rest=total - wanted,
    )


def _to(value: float, step: int) -> int:
    return int(step * round(value / step))
