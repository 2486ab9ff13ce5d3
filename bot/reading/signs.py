"""Surface, bubbles, warmth, smell, liquid, texture, the float test, crust: what a jar shows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from bot.culture.vocabulary import (
    Bubbles,
    Liquid,
    LiquidColour,
    LiquidWhere,
    Place,
    Smell,
    Surface,
    Temperature,
    Texture,
    Units,
)
from bot.reading.amounts import Amount
from bot.reading.claims import Claim, claim, latest
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark


def surface(message: Message, clauses: list[Clause]) -> Claim[Surface] | None:
    found: list[Claim[Surface]] = []
    for clause in clauses:
        if clause.mood == "asked" or clause.other or clause.age > 1 or clause.has("act", "baked"):
            continue
        for mark, meaning in clause.all("surface"):
            if mark.first >= clause.iffy_at:
                continue
            if clause.denied(mark):
                if meaning == "domed":
                    found.append(claim(clause, mark, "flat", 0))
                continue
            word = message.words[mark.first]
            if meaning == "fallen" and (
                clause.has("float") and (clause.has("place", "water") or clause.has("floattest"))
            ):
                continue
            if meaning == "fallen" and any(one.kind == "warmth" for one in clause.amounts):
                continue
            if (
                meaning == "flat"
                and (clause.has("film") or clause.has("mould"))
                and not clause.has("surface", "domed")
            ):
                if mark.last - mark.first == 1 and message.words[mark.last : mark.last + 1] != [
                    "top"
                ]:
                    continue
            if word == "level" and message.words[mark.last : mark.last + 1] == ["with"]:
                continue
            if (
                word == "flat"
                and message.words[mark.last : mark.last + 1] in (["is"], ["mate"])
                and message.words[mark.first - 1 : mark.first] == ["my"]
            ):
                continue
            found.append(claim(clause, mark, cast("Surface", meaning)))
    return latest(found)


def bubbles(message: Message, clauses: list[Clause]) -> Claim[Bubbles] | None:
    found: list[Claim[Bubbles]] = []
    for clause in clauses:
        if clause.mood == "asked" or clause.other or clause.age > 1 or clause.has("act", "baked"):
            continue
        for mark, meaning in clause.all("bubble"):
            if mark.first >= clause.iffy_at:
                continue
            found.append(claim(clause, mark, _bubbles(message, clause, mark, meaning)))
    return latest(found)


def _bubbles(message: Message, clause: Clause, mark: Mark, meaning: str) -> Bubbles:
    near: list[tuple[int, str]] = []
    for one, quantity in clause.all("quant"):
        if one.last <= mark.first and mark.first - one.last <= 3:
            near.append((mark.first - one.last, quantity))
        elif one.first >= mark.last and one.first - mark.last <= 3:
            text = message.words[one.first]
            if text in (
                "everywhere",
                "all",
                "throughout",
                "galore",
                "going",
                "like",
                "nonstop",
                "top",
                "lots",
                "loads",
                "few",
            ):
                near.append((one.first - mark.last + 1, quantity))
    near.sort()
    quantity = near[0][1] if near else ("many" if meaning == "many" else "some")
    if clause.denied(mark) and not (quantity == "few" and near):
        return (
            "few"
            if quantity == "many"
            and near
            and message.words[mark.first - 1] in ("many", "much", "of")
            else "none"
        )
    return cast("Bubbles", quantity)


_POSSIBLE_C = {
    "kitchen": (-5.0, 50.0),
    "starter": (0.0, 60.0),
    "water": (0.0, 100.0),
    "fridge": (-8.0, 16.0),
}


def temperature(
    message: Message, clauses: list[Clause], units: Units
) -> tuple[Claim[Temperature] | None, bool]:
    """The temperature that counts, and whether one was told that no kitchen can have."""
    found: list[Claim[Temperature]] = []
    impossible = False
    for clause in clauses:
        if (
            (clause.mood == "asked" and not clause.queried and clause.has("iffy"))
            or clause.other
            or clause.age > 1
        ):
            continue
        if clause.mood == "asked":
            continue
        for amount in clause.amounts:
            if amount.first >= clause.iffy_at or (clause.denied(amount) and amount.kind != "bare"):
                continue
            place = _place(message, clause, amount)
            if place is None or not _is_warmth(message, clause, amount):
                continue
            celsius = _celsius(amount, units, place)
            if celsius is None:
                impossible = True
                continue
            found.append(claim(clause, amount, Temperature(celsius=celsius, of=place)))
    for place in ("kitchen", "starter", "fridge", "water"):
        best = latest(one for one in found if one.value.of == place)
        if best is not None:
            return best, impossible
    return None, impossible


def _place(message: Message, clause: Clause, amount: Amount) -> Place | None:
    best: tuple[int, str] | None = None
    for mark, meaning in clause.all("place"):
        if (
            meaning == "elsewhere"
            and message.words[mark.first] == "oven"
            and clause.has("place", "kitchen")
        ):
            continue
        away = (
            amount.first - mark.last if mark.last <= amount.first else mark.first - amount.last + 0
        )
        if mark.first >= amount.last and meaning == "water" and clause.has("act"):
            away += 1
        if best is None or away < best[0]:
            best = (away, meaning)
    if clause.has("act", "baked") or (best is not None and best[1] == "elsewhere"):
        return None
    return cast("Place", best[1]) if best else "kitchen"


def _is_warmth(message: Message, clause: Clause, amount: Amount) -> bool:
    if amount.kind == "warmth":
        return not (amount.unit == "degree" and "turn" in clause.words)
    if amount.kind != "bare" or amount.part:
        return False
    words = message.words
    before = words[max(clause.first, amount.first - 3) : amount.first]
    behind = words[amount.last : amount.last + 3]
    if before[-1:] == ["day"] or (
        before[-1:] == ["at"] and (clause.has("act", "fed") or not clause.has("place"))
    ):
        return False
    if "#" in before or "%" in behind[:1] or amount.value < 3:
        return False
    if message.says(amount.last, "clock") in ("am", "pm", "oclock"):
        return False
    if (
        message.says(amount.last, "unit")
        or message.says(amount.last, "ingredient")
        or message.says(amount.last, "flour")
        or message.says(amount.last, "bubble")
    ):
        return False
    if clause.has("place") or clause.has("tempcue"):
        if clause.has("rise") and before[-1:] == ["in"]:
            return False
        return 3 <= amount.value <= 130 and not clause.has("act", "fed")
    return False


def _celsius(amount: Amount, units: Units, place: Place) -> float | None:
    low, high = _POSSIBLE_C[place]
    value = -amount.value if amount.signed and amount.kind == "warmth" else amount.value
    fahrenheit = (value - 32) * 5 / 9
    if amount.unit == "celsius":
        told = [value]
    elif amount.unit == "fahrenheit":
        told = [fahrenheit]
    elif units == "us":
        told = [fahrenheit, value]
    else:
        told = [value, fahrenheit]
    for one in told:
        if low <= one <= high and (
            place != "kitchen" or amount.unit in ("celsius", "fahrenheit") or one > 2
        ):
            return one
    return None


def smells(message: Message, clauses: list[Clause]) -> list[Claim[Smell]]:
    """Every smell told, each once, the order told."""
    found: list[Claim[Smell]] = []
    cued = False
    sentence = -1
    for at, clause in enumerate(clauses):
        cue = clause.one("smellcue")
        if clause.sentence != sentence:
            cued, sentence = False, clause.sentence
        if cue is None and not (
            cued
            and clause.opener in (",", "and", "n", "plus", "then", "but")
            and _starts_with_smell(message, clause)
        ):
            cued = False
            if not (at == 0 and _fragment(message, clause)) and not clause.has("smell"):
                continue
        if clause.mood == "asked" or clause.other or clause.age > 1:
            cued = False
            continue
        is_cued = cue is not None or cued
        for mark, meaning in clause.all("smell"):
            if mark.first >= clause.iffy_at:
                continue
            word = message.words[mark.first]
            if not is_cued and not (word in _PLAIN_SMELLS or _fragment(message, clause)):
                continue
            if (
                cue is not None
                and mark.first < cue.first
                and not (
                    mark.last == cue.first or word in _PLAIN_SMELLS or mark.last + 1 == cue.first
                )
            ):
                continue
            if clause.denied(mark) or mark.says("denied"):
                continue
            if (
                meaning == "floury"
                and word == "flour"
                and message.words[mark.first - 1 : mark.first] in (["the"], ["my"])
            ):
                continue
            if meaning != "none" and all(one.value != meaning for one in found):
                found.append(claim(clause, mark, cast("Smell", meaning)))
            elif meaning == "none":
                found.append(claim(clause, mark, "none"))
        if (
            cue is not None
            and cue.first < clause.iffy_at
            and _smells_of_nothing(message, clause, cue)
        ):
            found.append(claim(clause, cue, "none"))
        cued = is_cued
    if any(one.value != "none" for one in found):
        found = [one for one in found if one.value != "none"]
    newest = min((one.age for one in found), default=0)
    return [one for one in found if one.age == newest]


_PLAIN_SMELLS = frozenset(
    {
        "sour",
        "yeasty",
        "sweet",
        "acetone",
        "cheesy",
        "vinegary",
        "vinegar",
        "fruity",
        "boozy",
        "tangy",
        "putrid",
        "yeast",
        "beery",
        "acidic",
        "alcoholic",
        "eggy",
        "nail",
        "sourish",
        "sweetish",
        "rotten",
        "yoghurty",
        "yogurty",
        "fermented",
        "floury",
    }
)


def _starts_with_smell(message: Message, clause: Clause) -> bool:
    mark = clause.one("smell")
    return (
        mark is not None
        and mark.first - clause.first <= 4
        and not clause.has("bubble")
        and not clause.has("act", "fed")
    )


def _fragment(message: Message, clause: Clause) -> bool:
    """A message of a word or three that names a smell and nothing else: "parmesan"."""
    return (
        len(message.words) <= 4
        and all(len(mark.senses) for mark in clause.marks)
        and not any(
            clause.has(one)
            for one in ("act", "rise", "liquid", "spot", "objects", "place", "flour", "head")
        )
        and clause.has("smell")
    )


def _smells_of_nothing(message: Message, clause: Clause, cue: Mark) -> bool:
    words = message.words[clause.first : clause.last]
    behind = message.words[cue.last : cue.last + 4]
    if clause.has("smell") or clause.has("smellbad"):
        return False
    if "nothing" in behind or behind[:2] == ["like", "nothing"] or "neutral" in behind:
        return True
    if clause.has("smellgood"):
        return False
    if clause.denied(cue):
        return "dont like" not in " ".join(words) and "stink" not in message.words[cue.first]
    return False


def liquid(message: Message, clauses: list[Clause]) -> Claim[Liquid] | None:
    """Liquid that has parted from the dough; colour and place only when told."""
    found: list[Claim[Liquid]] = []
    for at, clause in enumerate(clauses):
        if clause.mood == "asked" or clause.other or clause.age > 1:
            continue
        noun = _liquid_noun(message, clause)
        if noun is None or noun.first >= clause.iffy_at:
            continue
        if clause.denied(noun):
            found.append(claim(clause, noun, Liquid(present=False), 0))
            continue
        colour = _colour(clause, noun)
        where = next((meaning for mark, meaning in clause.all("where")), None)
        for later in clauses[at + 1 : at + 3]:
            if later.mood == "asked" or any(
                later.has(one)
                for one in ("act", "smellcue", "bubble", "mould", "rise", "film", "spot", "objects")
            ):
                break
            colour = colour or _colour(later, None)
            where = where or next((meaning for _, meaning in later.all("where")), None)
        found.append(
            claim(clause, noun, Liquid(
                present=True,
                colour=cast("LiquidColour | None", colour),
                where=cast("LiquidWhere | None", where),
            ))
        )  # fmt: skip
    return latest(found)


def _liquid_noun(message: Message, clause: Clause) -> Mark | None:
    noun = clause.one("liquid", "noun")
    if noun is not None:
        return noun
    split = clause.one("liquid", "split")
    if split is not None and not clause.has("act", "add"):
        return split
    water = clause.one("liquid", "water")
    if water is None or any(
        one.last == water.first or one.kind in ("mass", "volume") for one in clause.amounts
    ):
        return None
    if (
        clause.has("float")
        or clause.has("floattest")
        or clause.has("act", "fed")
        or clause.has("act", "add")
    ):
        return None
    words = message.words
    before = words[max(clause.first, water.first - 3) : water.first]
    if (
        "warm" in before
        or "tap" in before
        or "cold" in before
        or "like" in before
        or "hot" in before
    ):
        return None
    if clause.has("where") or clause.has("liquidcolour") or "layer" in before:
        return water
    return None


def _colour(clause: Clause, noun: Mark | None) -> str | None:
    best: tuple[int, str] | None = None
    for mark, meaning in clause.all("liquidcolour"):
        if clause.denied(mark):
            continue
        away = (
            99
            if noun is None
            else (noun.first - mark.last if mark.last <= noun.first else mark.first - noun.last + 2)
        )
        if best is None or away < best[0]:
            best = (away, meaning)
    return best[1] if best else None


def textures(message: Message, clauses: list[Clause]) -> list[Claim[Texture]]:
    found: list[Claim[Texture]] = []
    for clause in clauses:
        if clause.mood == "asked" or clause.other or clause.age > 1 or clause.has("act", "baked"):
            continue
        for mark, meaning in clause.all("texture"):
            if mark.first >= clause.iffy_at or clause.denied(mark):
                continue
            after = (
                message.says(mark.last, "layer")
                or message.says(mark.last, "liquid")
                or message.says(mark.last, "film")
            )
            word = message.words[mark.first]
            if after and word in (
                "thin",
                "thick",
                "watery",
                "dense",
                "heavy",
                "firm",
                "solid",
                "wet",
                "rubbery",
                "elastic",
            ):
                continue
            if (clause.has("liquid") and word in ("thin", "thick", "watery", "wet")) or (
                clause.has("film") and word in ("thin", "thick")
            ):
                continue
            if word in ("rubber", "elastic", "thick") and message.says(mark.last, "objects"):
                continue
            if clause.has("smellcue") and word in ("paste", "dough", "wet", "solid", "mozzarella"):
                continue
            if all(one.value != meaning for one in found):
                found.append(claim(clause, mark, cast("Texture", meaning)))
    newest = min((one.age for one in found), default=0)
    return [one for one in found if one.age == newest]


def floats(message: Message, clauses: list[Clause]) -> Claim[bool] | None:
    found: list[Claim[bool]] = []
    for clause in clauses:
        if clause.mood == "asked" or clause.other or clause.age > 1:
            continue
        test = clause.one("floattest")
        for mark, meaning in clause.all("float"):
            if (
                mark.first >= clause.iffy_at
                or clause.has("pest")
                or clause.has("liquid", "noun")
                or clause.has("mould")
            ):
                continue
            if test is not None and test.first <= mark.first < test.last:
                continue
            if meaning == "no" and not _in_water(message, clause):
                continue
            if meaning == "yes" and clause.has("where", "top") and clause.has("spot"):
                continue
            found.append(claim(clause, mark, (meaning == "yes") != clause.denied(mark), 2))
        if test is not None and test.first < clause.iffy_at:
            outcome = _outcome(message, clauses, clause)
            if outcome is not None:
                found.append(claim(clause, test, outcome))
    return latest(found)


def _in_water(message: Message, clause: Clause) -> bool:
    if (
        clause.has("place", "water")
        or clause.has("floattest")
        or clause.has("unit", "spoon")
        or "spoonful" in clause.words
    ):
        return True
    if any(one.says("floattest") or one.says("float") == "yes" for one in message.marks):
        return True
    text = clause.text
    return (
        text
        in (
            "it sinks",
            "sinks",
            "it sinks like a stone",
            "sank like a stone",
            "sinks like a stone",
            "still sinks",
            "it still sinks",
        )
        or "like a stone" in text
        or "like a rock" in text
        or "bottom" in text
    )


def _outcome(message: Message, clauses: list[Clause], clause: Clause) -> bool | None:
    at = clauses.index(clause)
    for one in clauses[at : at + 2]:
        for mark, meaning in one.all("pass"):
            if one is clause and mark.first < 0:
                continue
            if meaning == "no":
                return False
            return not one.denied(mark)
    return None


def crust(message: Message, clauses: list[Clause]) -> Iterator[Claim[bool]]:
    for clause in clauses:
        if clause.mood == "asked" or clause.other or clause.age > 1 or clause.has("act", "baked"):
            continue
        mark = clause.one("crust")
        if (
            mark is None
            or mark.first >= clause.iffy_at
            or clause.has("film", "sure")
            or clause.has("smellcue")
        ):
            continue
        if clause.has("objects") and any(one in clause.words for one in ("loaf", "bread", "flour")):
            continue
        yield claim(clause, mark, not clause.denied(mark))
