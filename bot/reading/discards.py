"""Some of the culture was taken out: how much, if told."""

from __future__ import annotations

from bot.culture.quantities import Range
from bot.culture.vocabulary import Act, Discarded
from bot.reading.amounts import Amount
from bot.reading.clauses import Clause, Message
from bot.reading.deeds import done
from bot.reading.kept import is_kept
from bot.reading.marks import Mark
from bot.reading.masses import grams

_PARTS = frozenset({"half", "some", "most", "rest", "discard", "excess", "extra", "bit", "few", "leftovers", "part", "third", "quarter", "remainder"})  # fmt: skip
_WHOLES = frozenset({"all", "everything", "lot"})
_SURE = frozenset({"discarded", "removed", "halved", "culled"})
"""Verbs that need no amount to mean that some was taken out."""


def only_a_part(clause: Clause) -> bool:
    """Whether a clause about throwing away says how much, or that something was kept."""
    told = any(one.kind in ("percent", "mass", "volume") for one in clause.amounts)
    return told or clause.has("fraction") or bool(_PARTS & set(clause.words)) or _but_some(clause)


def _but_some(clause: Clause) -> bool:
    return bool({"but", "except"} & set(clause.words)) and bool(_WHOLES & set(clause.words))


def discarded(
    message: Message, clause: Clause, clauses: list[Clause]
) -> list[tuple[int, int, Act]]:
    mark = clause.one("act", "discarded") or _took_out(clause)
    if mark is None or not done(message, clause, mark):
        return []
    whole = clause.has("act", "binned") and not only_a_part(clause)
    if whole and not next_keeps(clauses, clause):
        return []
    if any(clause.has(one) for one in ("habit", "outof", "mould", "pest")) or clause.has(
        "liquid", "noun"
    ):
        return []
    verb = message.words[mark.first]
    text = " ".join(message.words[mark.first : mark.last])
    behind = message.words[mark.last : mark.last + 3]
    if verb == "kept":
        return _kept(clause, clauses, mark.first, mark.last)
    if text == "discard" and not (
        mark.first == clause.first and (mark.last == clause.last or "done" in behind)
    ):
        return []
    if verb not in _SURE and text not in ("discard", "discard done", "did the discard"):
        whole_but = _but_some(clause) or (
            bool(_WHOLES & set(clause.words)) and next_keeps(clauses, clause)
        )
        if "off" in behind[:2] and not clause.has("fraction"):
            return []
        taken = clause.one("act", "discarded") is None
        if (
            not taken
            and not only_a_part(clause)
            and not whole_but
            and "half" not in text
            and "some" not in text
        ):
            return []
    weight, share = _measured(message, clause)
    if "half" in text or "halved" in text:
        share = 0.5
    if _but_some(clause):
        weight, share = None, None
    return [(mark.first, mark.last, Discarded(grams=weight, share=share))]


def _took_out(clause: Clause) -> Mark | None:
    """ "Took 100 out": the amount stands inside the verb."""
    verb = clause.one("act", "moveverb")
    if verb is None or not clause.amounts or clause.has("spot") or "out" not in clause.words:
        return None
    between = clause.message.words[verb.last : clause.last]
    near = "out" in between[:5] and clause.message.words[verb.first] in ("took", "taken", "pulled")
    return (
        verb if near and clause.amounts[0].kind in ("mass", "volume", "bare", "percent") else None
    )


def next_keeps(clauses: list[Clause], clause: Clause) -> bool:
    """ "Tipped out everything but a teaspoon": the exception is the next clause."""
    after = [one for one in clauses if one.number == clause.number + 1]
    return bool(after) and after[0].opener in ("but", "except") and bool(after[0].amounts)


def _measured(message: Message, clause: Clause) -> tuple[Range | None, float | None]:
    weight: Range | None = None
    share: float | None = None
    for amount in clause.amounts:
        if is_kept(message, clause, amount):
            continue
        if amount.kind == "percent" and 0 < amount.value <= 100:
            share = amount.value / 100
        elif amount.part and amount.kind == "bare" and 0 < amount.value < 1:
            share = amount.value
        elif amount.kind in ("mass", "volume"):
            weight = grams(amount, "starter") or weight
        elif _bare_grams(message, clause, amount):
            weight = Range.exact(amount.value)
    return weight, share


def _bare_grams(message: Message, clause: Clause, amount: Amount) -> bool:
    """ "Discarded 100": too much to be an hour or a count."""
    if amount.kind != "bare" or amount.value < 25 or message.at(amount.last, "unit"):
        return False
    return amount.last == clause.last or message.words[amount.last] in ("of", "out", "from", "and")


def _kept(
    clause: Clause, clauses: list[Clause], first: int, last: int
) -> list[tuple[int, int, Act]]:
    """ "Kept 50 g, threw the rest", "kept a third": what was kept says what was not."""
    shares = [
        one.value for one in clause.amounts if one.part and one.kind == "bare" and one.value < 1
    ]
    rest = any({"rest", "remainder"} & set(one.words) for one in clauses)
    if not shares and not rest:
        return []
    return [(first, last, Discarded(share=1 - shares[0] if shares else None))]
