"""What went into the jar: the ratio, and which amount is of which ingredient."""

from __future__ import annotations

from itertools import pairwise
from typing import cast

from bot.culture.quantities import Range
from bot.culture.vocabulary import Flour, Ratio
from bot.reading.amounts import Amount
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark
from bot.reading.masses import Stuff, grams
from bot.reading.stuffs import (
    before_of,
    behind_of,
    flour_behind,
    is_total,
    stuffs_of,
    weighable,
)

_MOST_TO_ONE = 40


def ratio(message: Message, clause: Clause) -> Ratio | None:
    """1:2:2, "equal parts", "one part starter three parts flour three parts water"."""
    found: Ratio | None = None
    for index in range(clause.first, min(clause.last, clause.iffy_at)):
        token = message.tokens[index]
        if token.kind == "ratio" and (told := _three(token.word)):
            if index and message.words[index - 1] in ("from", "not"):
                continue
            found = told
    if found is None and (clause.has("act", "fed") or clause.has("act", "feedword")):
        found = _spaced(message, clause)
    if found is not None:
        return found
    parts: dict[str, float] = {}
    for amount in clause.amounts:
        if amount.kind == "part":
            for stuff in behind_of(message, clause, amount.last):
                parts[stuff] = amount.value
    if {"flour", "water", "starter"} <= parts.keys():
        return parts["starter"], parts["flour"], parts["water"]
    equal = clause.one("equal")
    if equal is None or equal.first >= clause.iffy_at or clause.denied(equal):
        return None
    of_two = clause.has("ingredient", "water") and not clause.has("ingredient", "starter")
    if of_two and not {"everything", "three", "all"} & set(clause.words):
        return None
    return 1.0, 1.0, 1.0


def _spaced(message: Message, clause: Clause) -> Ratio | None:
    """ "fed 1 1 1", "1 2 2 feed": three small numbers in a row."""
    bare = [
        one for one in clause.amounts if one.kind == "bare" and not one.part and one.value <= 20
    ]
    for one, two, three in zip(bare, bare[1:], bare[2:], strict=False):
        if (
            one.last == two.first
            and two.last == three.first
            and min(one.value, two.value, three.value) >= 1
        ):
            return one.value, two.value, three.value
    return None


def _three(text: str) -> Ratio | None:
    for sign in ":/-":
        parts = text.split(sign)
        if len(parts) == 3:
            first, second, third = (float(one) for one in parts)
            if min(first, second, third) <= 0 or max(second, third) > _MOST_TO_ONE * first:
                return None
            if sign == ":" and text[0] == "0":
                return None
            return first, second, third
    return None


def masses(
    message: Message,
    clause: Clause,
    known: dict[Stuff, Range],
    weighed: set[str],
    *,
    equal: bool = False,
) -> dict[Stuff, Range]:
    """The masses a clause tells; ``known`` are those told before ("same of water").

    ``weighed`` holds the flours that have a mass of their own, and is added to: those of two flours
    add up. A mended mass ("30g, oops 50g") takes the place of the one before.
    """
    found: dict[Stuff, Range] = {}
    unit = ""
    last: list[Stuff] = []
    for amount in clause.amounts:
        if amount.first >= clause.iffy_at or not weighable(amount):
            continue
        mended = mends(message, amount)
        stuffs = stuffs_of(message, clause, amount, equal=equal)
        if mended and not behind_of(message, clause, amount.last):
            stuffs = last or stuffs_before(message, amount)
        if not stuffs and is_total(message, amount):
            stuffs = ["flour"]
        if not stuffs:
            continue
        last = stuffs
        bare = amount.kind == "bare"
        if bare and not unit and message.words[amount.last : amount.last + 1] == ["of"]:
            unit = _unit_before(message, amount)
        kind = flour_behind(message, clause, amount)
        for stuff in stuffs:
            weight = grams(amount, stuff, unit if bare else "")
            if weight is None or (bare and amount.worded and not unit):
                continue
            told = found.get(stuff) or known.get(stuff)
            if told is None or mended:
                found[stuff] = weight
            elif stuff == "flour" and kind not in (None, "word", *weighed):
                found[stuff] = Range(told.low + weight.low, told.high + weight.high)
            if stuff == "flour" and kind is not None:
                weighed.add(kind)
        unit = unit if bare else amount.unit
    return found | _same(message, clause, {**known, **found})


def _same(message: Message, clause: Clause, told: dict[Stuff, Range]) -> dict[Stuff, Range]:
    """ "50g flour and the same of water"."""
    same = clause.one("same")
    previous = told.get("flour") or told.get("water")
    if same is None or previous is None:
        return {}
    stuffs = behind_of(message, clause, same.last) or before_of(message, clause, same.first)
    return {stuff: previous for stuff in stuffs if stuff not in told}


def mends(message: Message, amount: Amount) -> bool:
    """Whether an amount corrects the one before it: "oops 50g", "no, 60", "I meant 70"."""
    if not message.amounts or message.amounts[0].first >= amount.first:
        return False
    for at in range(amount.first - 1, max(-1, amount.first - 5), -1):
        if at in message.amount_lasts:
            break
        mark = message.at(at, "correct")
        if mark is not None and mark.last <= amount.first:
            return True
    before = message.words[max(0, amount.first - 2) : amount.first]
    return before[-1:] == ["no"] or before == ["no", ","]


def stuffs_before(message: Message, amount: Amount) -> list[Stuff]:
    """What the amount before one is of, in whichever clause it stands."""
    for clause in reversed(message.clauses):
        for one in reversed(clause.amounts):
            if one.last <= amount.first and weighable(one):
                return stuffs_of(message, clause, one)
    return []


def _unit_before(message: Message, amount: Amount) -> str:
    """ "Two spoons of flour and one of water": the unit goes without saying."""
    earlier = [one for one in message.amounts if one.first < amount.first and one.kind == "volume"]
    return earlier[-1].unit if earlier else ""


def tells_masses(message: Message, clause: Clause) -> bool:
    return any(
        weighable(one) and one.first < clause.iffy_at and stuffs_of(message, clause, one)
        for one in clause.amounts
    )


def flours(message: Message, clause: Clause) -> list[Flour]:
    """The flours named; "bread" and "plain" alone are flours only beside the word or a measure."""
    found: list[Flour] = []
    for mark, meaning in clause.all("flour"):
        if meaning == "word" or clause.denied(mark) or mark.first >= clause.iffy_at:
            continue
        if _was_out(message, clause, mark):
            continue
        if mark.last - mark.first == 1 and message.words[mark.first] in _ALONE:
            measured = any(one.last == mark.first for one in clause.amounts)
            used = any(one.last == mark.first for one, said in clause.all("act") if said == "add")
            if not (measured or used or clause.has("flour", "word")):
                continue
        flour = cast("Flour", meaning)
        if flour not in found:
            found.append(flour)
    if "white" in found and "bread" in found and not _both(message, clause):
        found.remove("white")
    return found


_ALONE = frozenset({"bread", "plain", "strong"})
_WITHOUT = (("out", "of"), ("instead", "of"), ("rather", "than"), ("switched", "from"), ("changed", "from"), ("moved", "from"), ("swapped", "from"), ("went", "from"), ("run", "out"), ("ran", "out"))  # fmt: skip


def _was_out(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "Ran out of rye so used white", "spelt instead of rye": the flour that it was not."""
    before = message.words[max(clause.first, mark.first - 4) : mark.first]
    if any(pair in _WITHOUT for pair in pairwise(before)):
        return True
    return message.words[mark.last : min(mark.last + 2, clause.last)] in (
        ["ran", "out"],
        ["is", "finished"],
        ["was", "finished"],
    )


def _both(message: Message, clause: Clause) -> bool:
    """ "25 white 25 bread": each has a mass or a share of its own."""
    kinds = [mark.first for mark, meaning in clause.all("flour") if meaning != "word"]
    lasts = {one.last for one in clause.amounts}
    return sum(first in lasts for first in kinds) > 1
