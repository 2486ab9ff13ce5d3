"""The float test: whether a spoonful stays up in water."""

from __future__ import annotations

from bot.reading.claims import Claim, claim, latest
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark


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
            if meaning == "yes" and _on_its_own_liquid(message, clause, mark):
                continue
            sunk = clause.has("float", "yes") and clause.has("float", "no") and clause.denied(mark)
            floated = not sunk and (meaning == "yes") != clause.denied(mark)
            found.append(claim(clause, mark, floated, 2))
        if test is not None and test.first < clause.iffy_at:
            outcome = _outcome(message, clauses, clause)
            if outcome is not None:
                found.append(claim(clause, test, outcome))
    return latest(found)


def _on_its_own_liquid(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "Clear liquid underneath, paste floating on it": in the jar, no test in a glass."""
    parted = any(one.has("liquid", "noun") for one in message.before(clause)[-1:])
    return parted and message.words[mark.last : mark.last + 2] in (
        ["on", "it"],
        ["above", "it"],
        ["on", "top"],
    )


def _in_water(message: Message, clause: Clause) -> bool:
    if (
        clause.has("place", "water")
        or clause.has("floattest")
        or clause.has("unit", "spoon")
        or "spoonful" in clause.words
    ):
        return True
    if message.has("floattest") or any(one.has("float", "yes") for one in message.clauses):
        return True
    text = clause.text
    if {"sinks", "sink"} & set(clause.words) and not clause.has("where", "middle"):
        return "drain" not in text and "down the" not in text and "the sink" not in text
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
    at = next(at for at, one in enumerate(clauses) if one is clause)
    for one in clauses[at : at + 2]:
        for mark, meaning in one.all("pass"):
            if one is clause and mark.first < 0:
                continue
            if meaning == "no":
                return False
            return not one.denied(mark)
    return None
