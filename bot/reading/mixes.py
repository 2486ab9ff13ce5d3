"""What went into the jar: the ratio, and which amount is of which ingredient."""

from __future__ import annotations

from typing import cast

from bot.culture.quantities import Range
from bot.culture.vocabulary import Flour, Ratio
from bot.reading.amounts import Amount
from bot.reading.clauses import Clause, Message
from bot.reading.masses import Stuff, grams

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
            for stuff in _behind(message, clause, amount.last):
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


def masses(message: Message, clause: Clause, known: dict[Stuff, Range]) -> dict[Stuff, Range]:
    """The masses a clause tells; ``known`` are those told before ("same of water")."""
    found: dict[Stuff, Range] = {}
    unit = ""
    for amount in clause.amounts:
        if amount.first >= clause.iffy_at or not _weighable(amount):
            continue
        stuffs = stuffs_of(message, clause, amount)
        if not stuffs:
            continue
        bare = amount.kind == "bare"
        if bare and not unit and message.words[amount.last : amount.last + 1] == ["of"]:
            unit = _unit_before(message, amount)
        for stuff in stuffs:
            weight = grams(amount, stuff, unit if bare else "")
            if bare and amount.worded and not unit:
                continue
            if weight is not None and stuff not in known and stuff not in found:
                found[stuff] = weight
        unit = unit if bare else amount.unit
    same = clause.one("same")
    told = {**known, **found}
    if same is not None and (previous := told.get("flour") or told.get("water")):
        for stuff in _behind(message, clause, same.last) or _before(message, clause, same.first):
            if stuff not in told:
                found[stuff] = previous
    return found


def _unit_before(message: Message, amount: Amount) -> str:
    """ "Two spoons of flour and one of water": the unit goes without saying."""
    earlier = [one for one in message.amounts if one.first < amount.first and one.kind == "volume"]
    return earlier[-1].unit if earlier else ""


def _weighable(amount: Amount) -> bool:
    return amount.kind in ("mass", "volume", "part") or (amount.kind == "bare" and not amount.part)


def tells_masses(message: Message, clause: Clause) -> bool:
    return any(
        _weighable(one) and one.first < clause.iffy_at and stuffs_of(message, clause, one)
        for one in clause.amounts
    )


def stuffs_of(message: Message, clause: Clause, amount: Amount) -> list[Stuff]:
    """What an amount is of: the noun behind it, else the one before it."""
    behind = _behind(message, clause, amount.last)
    if behind:
        return behind
    if amount.kind == "bare" and amount.last < clause.last:
        at = amount.last
        known = any(starts[at] is not None for starts in message.starts.values())
        if known and not any(message.at(at, one) for one in ("join", "each")):
            return []
    return _before(message, clause, amount.first)


def _behind(message: Message, clause: Clause, at: int) -> list[Stuff]:
    words = message.words
    taken = message.amount_firsts
    end = min(clause.last, at + 5)
    while at < end and at not in taken:
        if message.at(at, "each"):
            named = {message.says(one, "ingredient") for one in range(at, clause.last)}
            return ["starter", "flour", "water"] if "starter" in named else ["flour", "water"]
        flour = message.at(at, "flour")
        if flour is not None:
            after = flour.last
            paired = after < clause.last - 1 and words[after] in ("and", "n", "+", "plus")
            if paired and message.says(after + 1, "ingredient") == "water":
                return ["flour", "water"]
            return ["flour"]
        ingredient = message.says(at, "ingredient")
        if ingredient:
            return [cast("Stuff", ingredient)]
        if message.at(at, "join") or message.at(at, "same") or words[at] in (",", "and", "."):
            return []
        at += 1
    return []


def _before(message: Message, clause: Clause, at: int) -> list[Stuff]:
    taken = message.amount_lasts
    for start in range(at - 1, max(clause.first, at - 3) - 1, -1):
        if start in taken:
            return []
        if message.at(start, "flour"):
            return ["flour"]
        ingredient = message.says(start, "ingredient")
        if ingredient:
            return [cast("Stuff", ingredient)]
    return []


def flours(message: Message, clause: Clause) -> list[Flour]:
    """The flours named; "bread" and "plain" alone are flours only beside the word or at the end."""
    found: list[Flour] = []
    for mark, meaning in clause.all("flour"):
        if meaning == "word" or clause.denied(mark) or mark.first >= clause.iffy_at:
            continue
        if mark.last - mark.first == 1 and message.words[mark.first] in (
            "bread",
            "plain",
            "strong",
        ):
            measured = any(one.last == mark.first for one in clause.amounts)
            if not (measured or clause.has("flour", "word")):
                continue
        flour = cast("Flour", meaning)
        if flour not in found:
            found.append(flour)
    if "white" in found and "bread" in found:
        found.remove("white")
    return found
