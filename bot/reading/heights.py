"""Two heights of one jar: "from 4 cm to 9 cm", "was 250 ml, now 400", "up 3 cm from 6"."""

from __future__ import annotations

from bot.culture.vocabulary import Rise
from bot.reading.amounts import Amount
from bot.reading.claims import Claim
from bot.reading.clauses import Clause, Message
from bot.reading.hedges import hedged


def between(message: Message, clauses: list[Clause]) -> Claim[Rise] | None:
    """Two heights of one jar: "from 4 cm to 9 cm", "was 250 ml, now 400", "up 3 cm from 6"."""
    measured: list[tuple[Clause, Amount]] = []
    for clause in clauses:
        if clause.mood != "told" or clause.other or clause.has("act", "discarded"):
            continue
        if clause.has("flour") or clause.has("ingredient", "water"):
            continue
        if clause.has("liquid") or clause.has("mould"):
            continue
        measured += [
            (clause, one) for one in clause.amounts
            if (one.kind == "length" or one.unit in ("ml",) or (one.kind == "bare" and not one.part))
            and one.first < clause.iffy_at
        ]  # fmt: skip
    for clause, one in measured:
        # "250 to 600 ml in six hours" is no range: nobody is that unsure of a height.
        if one.low > 0 and one.high >= 1.25 * one.low and one.kind in ("length", "volume"):
            return Claim(hedged(one.high / one.low, ""), clause.age, one.first, one.last)
    for at in range(len(measured) - 1):
        (clause, first), (after, second) = measured[at], measured[at + 1]
        if first.kind == "bare" and second.kind == "bare" and not _marked(message, clause, first):
            continue
        if {first.kind, second.kind} == {"length", "volume"}:
            continue
        unit = second.unit or first.unit
        low = _size(first, unit)
        high = _size(second, unit)
        words = message.words
        bridge = words[first.last : second.last]
        before = [one for one in words[max(0, first.first - 2) : first.first] if one != "the"][-1:]
        if len(bridge) > 10:
            continue
        if "from" in bridge and (clause.has("rise") or clause.has("rise", "up")):
            grown, base = low, high
            if first.signed or "to" not in before:
                if words[first.first - 1] == "to":
                    ratio = grown / base if base else 0
                else:
                    ratio = (base + grown) / base if base else 0
            else:
                ratio = grown / base if base else 0
        elif (
            {"to", "->", "now", "-"} & set(bridge)
            or "now" in words[second.last : second.last + 3]
            or before == ["from"]
            or "was" in words[max(0, first.first - 3) : first.first]
        ):
            ratio = high / low if low else 0
        else:
            continue
        if 1.0 <= ratio <= 8:
            told = hedged(ratio, "approx" if second.hedge == "approx" else "")
            return Claim(told, after.age if not after.has("now") else 0, first.first, second.last)
    return None


def _marked(message: Message, clause: Clause, first: Amount) -> bool:
    """ "from the 100 mark to the 230 mark": marks on the glass, in whatever unit."""
    warm = clause.has("place") or clause.has("tempcue") or clause.has("clock", "am")
    before = message.words[max(0, first.first - 2) : first.first]
    return "from" in before and clause.has("rise") and not warm


def _size(amount: Amount, unit: str) -> float:
    if amount.kind == "bare" or amount.kind == "volume":
        scale = {"mm": 1.0, "cm": 10.0, "inch": 25.4, "finger": 20.0}.get(unit, 1.0)
        return amount.value * scale if amount.kind == "bare" else amount.value
    return amount.millimetres
