"""Liquid that has parted from the dough."""

from __future__ import annotations

from typing import cast

from bot.culture.vocabulary import Liquid, LiquidColour, LiquidWhere
from bot.reading.claims import Claim, claim, latest
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark


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
                for one in ("act", "smellcue", "bubble", "mould", "rise", "film", "blot")
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
