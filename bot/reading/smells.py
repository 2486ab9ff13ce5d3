"""What it smells of."""

from __future__ import annotations

from typing import cast

from bot.culture.vocabulary import Smell
from bot.reading.claims import Claim, claim
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark


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
            cued = clause.age > 1 and cue is not None
            continue
        if cue is not None and _of_something_else(message, clause, cue):
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


def _of_something_else(message: Message, clause: Clause, cue: Mark) -> bool:
    """ "my fridge smells of fish": it is not the culture that smells."""
    for mark, meaning in clause.all("place"):
        if (
            mark.last <= cue.first
            and meaning in ("fridge", "kitchen")
            and cue.first - mark.last <= 2
        ):
            return (
                message.words[mark.first - 1] in ("my", "the", "whole", "our")
                and "in" not in message.words[clause.first : mark.first]
            )
    return False


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
