"""Spoons and cups in grams: the answer to "how many grams is that?"."""

from __future__ import annotations

import re

from bot.culture.measures import Ingredient, convert
from bot.culture.vocabulary import Units
from bot.errors import InputError
from bot.voice.catalogue import say
from bot.voice.quantities import number

_AMOUNT = re.compile(
    r"(?P<count>\d+\s+\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|half an?|half|an?|one|two|three|four|quarter)?\s*"
    r"(?P<half>½|¼|¾)?\s*(?P<kind>heap(?:ed|ing)\s+|level\s+|big\s+)?(?P<unit>"
    r"tablespoons?|tbsps?|tbs|teaspoons?|tsps?|cups?|ounces?|oz|grams?|g|spoons?|spoonfuls?)\b",
)
_WORDS = {
    "half a": "1/2", "half an": "1/2", "half": "1/2", "a": "1", "an": "1", "one": "1", "two": "2",
    "three": "3", "four": "4", "quarter": "1/4", "": "1",
}  # fmt: skip
_SIGNS = {"½": "1/2", "¼": "1/4", "¾": "3/4"}
_UNITS = {
    "tb": "tbsp",
    "ta": "tbsp",
    "sp": "tbsp",
    "te": "tsp",
    "ts": "tsp",
    "cu": "cup",
    "ou": "oz",
    "oz": "oz",
}
_STUFF: tuple[tuple[str, Ingredient], ...] = (
    ("starter", "starter"), ("discard", "starter"), ("culture", "starter"), ("water", "water"),
    ("wholewheat", "wholewheat"), ("whole wheat", "wholewheat"), ("wholemeal", "wholewheat"),
    ("rye", "rye"), ("spelt", "spelt"), ("flour", "flour"), (" ap ", "flour"), ("all purpose", "flour"),
)  # fmt: skip


def converted(text: str, units: Units) -> str:
    """The amount in the text in grams, or grams in spoons; the usual measures when it names none."""
    said = " ".join(text.casefold().replace("\u2044", "/").split())
    of: Ingredient = next((stuff for word, stuff in _STUFF if word in f"{said} "), "starter")
    counted = sorted(
        _AMOUNT.finditer(said), key=lambda found: not (found["count"] or found["half"])
    )
    for found in counted:
        if found["unit"].startswith("g") and not (found["count"] or "").strip()[:1].isdigit():
            continue
        answer = _answer(found, of, units)
        if answer is not None:
            return answer
    return say("units.measures")


def _answer(found: re.Match[str], of: Ingredient, units: Units) -> str | None:
    count = (found["count"] or "").strip()
    amount = _WORDS.get(count, count.replace(",", "."))
    if found["half"]:
        amount = f"{amount} {_SIGNS[found['half']]}" if count else _SIGNS[found["half"]]
    unit = found["unit"]
    shown = f"{amount} {unit}"
    try:
        if unit.startswith("g"):
            tablespoons = convert(f"{amount} g", of, "tbsp")
            return say(
                "units.in_spoons",
                amount=f"{amount} g",
                stuff=say(f"units.stuff_{of}"),
                spoons=number(tablespoons.value, units),
            )
        heap = "heaping " if (found["kind"] or "").startswith("heap") else ""
        grams = convert(f"{amount} {heap}{_UNITS[unit[:2]]}", of, "g")
    except (InputError, KeyError):
        return None
    low, high = round(grams.low), round(grams.high)
    line = "units.in_grams" if low < high else "units.in_grams_exactly"
    more = say("units.starter_weight") if of == "starter" else ""
    words = say(
        line,
        amount=shown,
        stuff=say(f"units.stuff_{of}"),
        middle=round(grams.value),
        low=low,
        high=high,
        more=more,
    )
    return words.strip()
