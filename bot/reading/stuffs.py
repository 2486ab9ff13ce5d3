"""Which ingredient an amount is of: the noun behind it or before it, its place in a pair, "each"."""

from __future__ import annotations

from itertools import pairwise
from typing import cast

from bot.reading.amounts import Amount
from bot.reading.clauses import Clause, Message
from bot.reading.kept import is_kept
from bot.reading.masses import Stuff

_LEAST_OF_A_PAIR = 10
"""Grams; "8 and 8" are hours, "50 and 50" flour and water."""
_MOST_AMOUNTS = 12
"""In one clause; more are no recipe."""
_TOTALS = frozenset({"total", "altogether", "combined", "overall"})
_PAIRING = frozenset({"and", "n", "plus", "+", "&"})


def weighable(amount: Amount) -> bool:
    return amount.kind in ("mass", "volume", "part") or (amount.kind == "bare" and not amount.part)


def stuffs_of(
    message: Message, clause: Clause, amount: Amount, *, equal: bool = False
) -> list[Stuff]:
    """What an amount is of; ``equal`` where flour, water and starter are told to weigh the same."""
    before = message.words[max(0, amount.first - 2) : amount.first]
    behind_it = message.words[amount.last : amount.last + 1]
    if before == ["out", "of"] or behind_it in (["less"], ["fewer"]):
        return []
    if is_kept(message, clause, amount) or _fed_amount(message, clause, amount):
        return ["starter"]
    if _noun_first(message, clause):
        return before_of(message, clause, amount.first)
    behind = behind_of(message, clause, amount.last, equal=equal)
    if _is_share(message, amount) and len(behind) < 2:
        return []
    if behind:
        return behind
    if amount.kind == "bare" and amount.last < clause.last:
        at = amount.last
        known = any(starts[at] is not None for starts in message.starts.values())
        if known and not any(message.at(at, one) for one in ("join", "each", "correct")):
            return []
    return before_of(message, clause, amount.first) or _of_pair(message, clause, amount)


def is_total(message: Message, amount: Amount) -> bool:
    """ "60g in all", "30g total": of the flours named before."""
    behind = list(message.words[amount.last : amount.last + 2])
    return bool(_TOTALS & set(behind[:2])) or behind in (["in", "all"], ["all", "together"], ["all", "in"], ["of", "flour"])  # fmt: skip


def flour_behind(message: Message, clause: Clause, amount: Amount) -> str | None:
    """The kind of flour that an amount is of, "word" for flour of no kind."""
    for at in range(amount.last, min(clause.last, amount.last + 3)):
        if at in message.amount_firsts:
            return None
        if (kind := message.says(at, "flour")) is not None:
            return kind
    return None


def behind_of(message: Message, clause: Clause, at: int, *, equal: bool = False) -> list[Stuff]:
    words = message.words
    taken = message.amount_firsts
    end = min(clause.last, at + 5)
    while at < end and at not in taken:
        if message.at(at, "each"):
            return _each(message, clause, at, equal)
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
        if message.at(at, "join") or message.at(at, "same") or words[at] in (",", "and"):
            return []
        if message.at(at, "correct") is not None:
            return []
        at += 1
    return []


def _each(message: Message, clause: Clause, at: int, equal: bool) -> list[Stuff]:
    """Flour and water, and the starter too where it is named without a mass of its own."""
    mark = message.at(at, "each")
    assert mark is not None
    if {"flour", "water"} & set(message.words[mark.first : mark.last]):
        return ["flour", "water"]
    near = range(max(0, at - 8), min(len(message.words), at + 9))
    named = [one for one in near if message.says(one, "ingredient") == "starter"]
    measured = {one.last for one in message.amounts} | {one.last + 1 for one in message.amounts}
    counted = any(message.words[one] in ("three", "everything") for one in near)
    if equal or counted or any(one not in measured for one in named):
        return ["starter", "flour", "water"]
    if named and clause.first <= named[0] and not any(one in measured for one in named):
        return ["starter", "flour", "water"]
    return ["flour", "water"]


def before_of(message: Message, clause: Clause, at: int) -> list[Stuff]:
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


def _noun_first(message: Message, clause: Clause) -> bool:
    """ "Starter 30 flour 60 water 60": every amount of the clause has its own noun before it."""
    if not 2 <= len(clause.amounts) <= _MOST_AMOUNTS:
        return False
    told = [one for one in clause.amounts if weighable(one)]
    if len(told) < 2 or told[0].first == clause.first:
        return False
    if not before_of(message, clause, told[0].first):
        return False
    nouns: list[Stuff] = []
    for one in told:
        at = one.first - 1
        if at > clause.first and message.words[at] in (":", "=", "-"):
            at -= 1
        near = [
            stuff
            for start in range(max(clause.first, at - 2), at + 1)
            for stuff in _ending(message, start, at + 1)
        ]
        nouns += near[:1]
    return len(nouns) == len(told) == len(set(nouns))


def _ending(message: Message, start: int, end: int) -> list[Stuff]:
    """The ingredient whose name fills tokens ``start..end``."""
    flour = message.at(start, "flour")
    if flour is not None and flour.last == end:
        return ["flour"]
    other = message.at(start, "ingredient")
    if other is not None and other.last == end:
        return [cast("Stuff", other.says("ingredient"))]
    return []


def _fed_amount(message: Message, clause: Clause, amount: Amount) -> bool:
    """ "Fed 10g with 50 and 50": what was fed, with what."""
    behind = message.words[amount.last : amount.last + 1]
    if behind not in (["with"], ["w"]) or amount.kind not in ("mass", "bare") or amount.part:
        return False
    fed = any(meaning == "fed" and mark.last == amount.first for mark, meaning in clause.all("act"))
    return fed and any(amount.last < one.first <= amount.last + 4 for one in clause.amounts)


def _is_share(message: Message, amount: Amount) -> bool:
    """ "50/50 rye and white": shares of the flour, not grams."""
    if amount.kind != "bare":
        return False
    words = message.words
    before = words[max(0, amount.first - 2) : amount.first]
    behind = words[amount.last : amount.last + 2]
    return (behind[:1] == ["/"] and behind[-1].isdigit()) or (
        before[-1:] == ["/"] and before[0].isdigit()
    )


def _of_pair(message: Message, clause: Clause, amount: Amount) -> list[Stuff]:
    """ "With 50 and 50": two equal kinds of amount and no noun are flour and water, in this order."""
    if len(clause.amounts) > _MOST_AMOUNTS or not (clause.has("act") or len(clause.words) <= 4):
        return []
    told = [one for one in clause.amounts if weighable(one)]
    for one, two in pairwise(told):
        if amount not in (one, two) or one.kind != two.kind or one.kind not in ("bare", "mass"):
            continue
        between = list(message.words[one.last : two.first])
        pairing = _PAIRING | {"/"} if one.kind == "mass" else _PAIRING
        if between and not (len(between) == 1 and between[0] in pairing):
            continue
        if min(one.value, two.value) < _LEAST_OF_A_PAIR or one.signed or two.worded:
            continue
        if message.says(one.first - 1, "clock") is not None or not _ends(message, clause, two):
            continue
        return ["flour"] if amount == one else ["water"]
    return []


def _ends(message: Message, clause: Clause, amount: Amount) -> bool:
    """Whether nothing that it could count stands behind a pair: "50 and 50 people"."""
    at = amount.last
    if at >= clause.last:
        return True
    return any(message.at(at, one) for one in ("day", "part", "clock", "join", "weekday"))
