"""Degrees, of what, and whether a kitchen can have them."""

from __future__ import annotations

from typing import cast

from bot.culture.vocabulary import Place, Temperature, Units
from bot.reading.amounts import Amount
from bot.reading.claims import Claim, claim, latest
from bot.reading.clauses import Clause, Message
from bot.reading.hours_told import clocks

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
            or (clause.other and not _of_own_dough(clause))
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


def _of_own_dough(clause: Clause) -> bool:
    """ "Thermometer in the dough says 36": a starter is a dough too, for who measures it."""
    if not clause.has("tempcue", "reading") or clause.bread:
        return False
    return clause.has("other", "dough") and not (
        clause.has("other", "jar") or clause.has("other", "person")
    )


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
    if clause.bread or (best is not None and best[1] == "elsewhere"):
        return None
    goes_on = len(clause.words) <= 3 or _tells_more_of_it(clause)
    if best is None and goes_on and _of_water_before(message, clause):
        return "water"
    return cast("Place", best[1]) if best else "kitchen"


def _tells_more_of_it(clause: Clause) -> bool:
    """ "It was like 45": of what stood before, where "it was 22 today" is of the day."""
    words = clause.words
    it = words[0] in ("it", "that") and words[1:2] in (["was"], ["felt"])
    return it and not (clause.has("now") or clause.has("day"))


_HELD = frozenset({"kept", "keep", "saved", "have", "got", "ive", "left", "leave", "put"})
"""Before a bare number of grams: "kept 20 in the jar"."""

_LUKEWARM = 25
"""°C; a bare number below is as likely a kitchen's."""


def _of_water_before(message: Message, clause: Clause) -> bool:
    """ "Water was too hot, like 50": the clause before says of what."""
    before = message.before(clause)
    if not before or before[-1].amounts:
        return False
    told = before[-1].has("tempcue") or clause.has("tempcue")
    tapped = before[-1].has("place", "water") or "tap" in before[-1].words
    return tapped and told


def _is_warmth(message: Message, clause: Clause, amount: Amount) -> bool:
    if amount.kind == "warmth":
        return not (amount.unit == "degree" and "turn" in clause.words)
    if amount.kind != "bare" or amount.part or message.says(amount.first, "count"):
        return False
    words = message.words
    before = words[max(clause.first, amount.first - 3) : amount.first]
    behind = words[amount.last : amount.last + 3]
    if before[-1:] == ["at"] and clause.has("rise") and _beside_hours(clause, amount):
        return 13 <= amount.value <= 40 or 60 <= amount.value <= 100
    if before[-1:] and before[-1] in _HELD and behind[2:] in (["jar"], ["pot"], ["tub"]):
        return False
    if before[-1:] == ["day"] or (
        before[-1:] == ["at"] and (clause.has("act", "fed") or not clause.has("place"))
    ):
        return False
    if before[-1:] in (["since"], ["until"], ["till"], ["by"]):
        return False
    if clause.has("flour") or not _may_end(message, clause, amount):
        return False
    if behind[:1] in (["of"], ["each"], ["grams"], ["-"]) or before[-1:] in (["/"], ["#"]):
        return False
    if behind[:1] == ["/"] and behind[1:2] and behind[1].isdigit():
        return False
    if clause.has("act", "add") or (clause.has("act", "moveverb") and not clause.has("tempcue")):
        return False
    if place_of_water(message, clause, amount) and amount.value < 10:
        return False
    if "#" in before or "%" in behind[:1] or amount.value < 3:
        return False
    if message.says(amount.last, "clock") in ("am", "pm", "oclock") and amount.value <= _HOURS:
        return False
    if (
        message.says(amount.last, "unit")
        or message.says(amount.last, "ingredient")
        or message.says(amount.last, "flour")
        or message.says(amount.last, "bubble")
    ):
        return False
    if _is_hour(message, clause, amount):
        return False
    if _contrasted(message, clause, amount) or _whole_answer(message, amount):
        return 10 <= amount.value <= 40 or 55 <= amount.value <= 100
    if _corrected(message, clause, amount):
        return 10 <= amount.value <= 40 or 55 <= amount.value <= 100
    if clause.words[0] in ("its", "is") and amount.first == clause.first + 1:
        return 12 < amount.value <= 38 or 55 <= amount.value <= 100
    if _tells_more_of_it(clause) and _of_water_before(message, clause):
        return _LUKEWARM <= amount.value <= 212
    flat = _in_the_flat(message, amount)
    if flat or clause.has("place") or clause.has("tempcue") or _goes_on(message, clause):
        if clause.has("rise") and before[-1:] == ["in"]:
            return False
        return 3 <= amount.value <= 130 and not clause.has("act", "fed")
    return False


def _is_hour(message: Message, clause: Clause, amount: Amount) -> bool:
    """ "Fed round 7 last night": the hour of an act."""
    fed = clause.has("act") or clause.has("ingredient")
    if not fed or amount.value > _HOURS or len(clause.amounts) > _HOURS:
        return False
    return any(one.first <= amount.first < one.last for one in clocks(message, clause))


_HOURS = 12


def _contrasted(message: Message, clause: Clause, amount: Amount) -> bool:
    """ "26 yesterday, 18 today": two days and two bare numbers, and nothing else that they could be."""
    if not _of_a_day(clause):
        return False
    near = message.clauses[max(0, clause.number - 1) : clause.number + 2]
    told = any(_of_a_day(one) for one in near if one is not clause)
    return told and not amount.part


def _of_a_day(clause: Clause) -> bool:
    """Whether a clause is a bare number and a day, with no more than "it was" before them."""
    if len(clause.amounts) != 1 or clause.amounts[0].kind != "bare" or len(clause.words) > _BRIEF:
        return False
    by_day = {"overnight", "by", "during"} & set(clause.words)
    dated = by_day or any(clause.has(one) for one in ("day", "now", "part"))
    dated = dated or clause.has("past", "strong")
    other = ("act", "flour", "ingredient", "rise", "bubble", "age", "habit")
    numbered = "day" in clause.words and not by_day
    return bool(dated) and not numbered and not any(clause.has(one) for one in other)


_BRIEF = 5
"""Words of "but it was 25 yesterday"."""
_NARROW = 6
"""Degrees; a wider range is no reading of a kitchen."""


def _whole_answer(message: Message, amount: Amount) -> bool:
    """ "20-22", "between 20 and 22": a narrow range of warmth and nothing else in the message."""
    ranged = 0 < amount.high - amount.low <= _NARROW and amount.low >= _LOWEST_ANSWER
    return ranged and len(message.words) <= amount.last - amount.first + 1


_LOWEST_ANSWER = 15
"""°C, or far below any kitchen's °F: a smaller range may be of hours."""


def _corrected(message: Message, clause: Clause, amount: Amount) -> bool:
    """ "sorry, 24 not 34": two bare numbers and nothing else are the kitchen's, the likeliest."""
    mends = message.words[0] == "no" or message.has("correct")
    if not mends or clause.denied(amount):
        return False
    if any(clause.has(one) for one in ("act", "flour", "ingredient", "clock", "rise", "unit")):
        return False
    return message.words[amount.last : amount.last + 1] == ["not"] and len(message.words) <= 8


_AFTER = frozenset(
    {
        "in",
        "inside",
        "at",
        "on",
        "here",
        "today",
        "now",
        "ish",
        "outside",
        "all",
        "overnight",
        "max",
        "min",
        "again",
        "most",
        "right",
        "rn",
        "lol",
        "indoors",
        "during",
        "tonight",
        "this",
        "i",
        "brr",
        "ugh",
        "x",
        "yesterday",
        "atm",
        "there",
        "everywhere",
        "upstairs",
        "downstairs",
        "since",
        "for",
        "from",
        "until",
        "till",
        "over",
        "after",
        "before",
        "and",
        "by",
        "near",
        "next",
        "last",
        "starter",
        "jar",
    }
)


def _may_end(message: Message, clause: Clause, amount: Amount) -> bool:
    """Whether a bare number stands by itself: "25 in here" does, "25 people in my kitchen" does not."""
    if amount.last >= clause.last:
        return True
    word = message.words[amount.last]
    token = message.tokens[amount.last]
    return (
        token.kind != "word"
        or word in _AFTER
        or bool(message.single[amount.last])
        or message.at(amount.last, "place") is not None
    )


def place_of_water(message: Message, clause: Clause, amount: Amount) -> bool:
    return message.says(amount.first - 1, "place") == "water"


def _in_the_flat(message: Message, amount: Amount) -> bool:
    """ "32 in the flat": a home, not a level surface."""
    behind = message.words[amount.last : amount.last + 3]
    return behind[:1] == ["in"] and behind[2:] == ["flat"] and behind[1] in ("the", "my", "our")


def _beside_hours(clause: Clause, amount: Amount) -> bool:
    return any(one.kind == "time" and one.first < amount.first for one in clause.amounts)


def _goes_on(message: Message, clause: Clause) -> bool:
    """ "freezing in here, maybe 14": the clause before says what the number is of."""
    if len(clause.words) > 3 or clause.opener != ",":
        return False
    return any(
        message.at(at, "tempcue") is not None or message.says(at, "place") in ("kitchen", "fridge")
        for at in range(max(0, clause.first - 6), clause.first)
    )


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
