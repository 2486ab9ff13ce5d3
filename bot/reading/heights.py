"""Two heights of one jar: "from 4 cm to 9 cm", "was 250 ml, now 400", "up 3 cm from 6"."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal, TypeAlias

from bot.culture.vocabulary import Rise
from bot.reading.amounts import Amount
from bot.reading.claims import Claim
from bot.reading.clauses import Clause, Message
from bot.reading.hedges import hedged

_FAR = 12
"""Words between two heights beyond which they are not one comparison."""

_MM = {"mm": 1.0, "cm": 10.0, "inch": 25.4, "finger": 20.0}
_WIDE = 1.25
"""Nobody is that unsure of a height: a wider "range" is a rise ("250 to 600 ml")."""

Role: TypeAlias = Literal["base", "top", "grown", ""]
Measured: TypeAlias = tuple[Clause, Amount]

_BASE_BEFORE = frozenset({"from", "was", "started", "start", "originally", "began", "initially", "base", "were"})  # fmt: skip
_BASE_BEHIND = frozenset({"base", "start", "feeding", "originally", "began", "fed"})
_TOP_BEFORE = frozenset({"to", "now", "reads", "touching", "reached", "hit", "->", "past", "reading", "passed"})  # fmt: skip
_GREW = frozenset(
    {"up", "by", "gained", "rose", "grew", "risen", "grown", "+", "climbed", "another"}
)


def between(message: Message, clauses: list[Clause]) -> Claim[Rise] | None:
    """The rise that two heights or volumes of one jar make; None unless their parts are clear."""
    found = [one for clause in clauses for one in _heights(message, clause)]
    for clause, one in found:
        if one.kind in ("length", "volume") and one.low > 0 and one.high >= _WIDE * one.low:
            return Claim(hedged(one.high / one.low, ""), clause.age, one.first, one.last)
    for left, right in pairwise(found):
        ratio = _ratio(message, left, right)
        if ratio is not None and 1.0 <= ratio <= 8.0:
            age = 0 if right[0].has("now") or left[0].has("now") else right[0].age
            told = hedged(ratio, "approx" if right[1].hedge == "approx" else "")
            return Claim(told, age, left[1].first, right[1].last)
    return None


def _heights(message: Message, clause: Clause) -> list[Measured]:
    if clause.mood != "told" or clause.other or clause.has("act", "discarded"):
        return []
    if any(clause.has(one) for one in ("flour", "mould")) or clause.has("liquid", "noun"):
        return []
    if (
        clause.has("tempcue", "warm")
        or clause.has("tempcue", "cold")
        or clause.has("ingredient", "water")
        or clause.has("place", "kitchen")
        or clause.has("place", "fridge")
    ):
        return []
    return [
        (clause, one) for one in clause.amounts
        if one.first < clause.iffy_at
        and (one.kind == "length" or (one.part and "full" in clause.words) or one.unit == "ml" or (one.kind == "bare" and not one.part and one.value > 1))
        and message.says(one.last, "clock") not in ("am", "pm", "oclock")
    ]  # fmt: skip


def _ratio(message: Message, left: Measured, right: Measured) -> float | None:
    (clause, first), (after, second) = left, right
    kinds = {first.kind, second.kind}
    if kinds == {"length", "volume"} or second.first - first.last > _FAR:
        return None
    if kinds == {"bare"} and not (_on_glass(message, clause) or _on_glass(message, after)):
        return None
    unit = second.unit or first.unit
    low, high = _size(first, unit), _size(second, unit)
    if low <= 0 or high <= 0:
        return None
    roles = (_role(message, clause, first), _role(message, after, second))
    linked = bool({"to", "->", "-"} & set(message.words[first.last : second.last]))
    match roles:
        case ("grown", "base"):
            return (high + low) / high
        case ("top", "base"):
            return low / high
        case ("base", _) | (_, "top"):
            return high / low
        case ("", "base") if clause.has("now") or clause.has("rise"):
            return low / high
        case _:
            return high / low if linked else None


def _role(message: Message, clause: Clause, amount: Amount) -> Role:
    words = message.words
    before = words[max(clause.first, amount.first - 4) : amount.first]
    end = next(
        (one for one in range(amount.last, clause.last) if one in message.amount_firsts),
        clause.last,
    )
    behind = words[amount.last : min(end, amount.last + 6)]
    if "now" in behind[:3] or _TOP_BEFORE & set(before[-2:]):
        return "top"
    if _BASE_BEFORE & set(before) or _BASE_BEHIND & set(behind):
        return "base"
    if amount.signed or _GREW & set(before):
        return "grown"
    return "base" if before[-2:] == ["on", "a"] else ""


def _on_glass(message: Message, clause: Clause) -> bool:
    """Whether bare numbers can be marks on the glass: "from the 100 mark", "at the 300 line"."""
    marked = clause.has("rise", "base") or {"reads", "side", "full"} & set(clause.words)
    return bool(marked) or ("from" in clause.words and clause.has("rise", "verb"))


def _size(amount: Amount, unit: str) -> float:
    if amount.kind == "bare":
        return amount.value * _MM.get(unit, 1.0)
    return amount.value if amount.kind == "volume" else amount.millimetres
