"""How it is on the spoon, and a crust that has dried on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from bot.culture.vocabulary import Texture
from bot.reading.claims import Claim, claim
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark


def textures(message: Message, clauses: list[Clause]) -> list[Claim[Texture]]:
    found: list[Claim[Texture]] = []
    for clause in clauses:
        if clause.mood == "asked" or clause.other or clause.age > 1 or clause.bread:
            continue
        for mark, meaning in clause.all("texture"):
            if mark.first >= clause.iffy_at or clause.denied(mark) or clause.compared(mark):
                continue
            after = (
                message.says(mark.last, "layer")
                or message.says(mark.last, "liquid")
                or message.says(mark.last, "film")
            )
            word = message.words[mark.first]
            if after and word in (
                "thin",
                "thick",
                "watery",
                "dense",
                "heavy",
                "firm",
                "solid",
                "wet",
                "rubbery",
                "elastic",
            ):
                continue
            if (
                clause.has("liquid")
                and mark.last - mark.first == 1
                and word in ("thin", "thick", "watery", "wet")
            ) or (clause.has("film") and word in ("thin", "thick")):
                continue
            if word in ("rubber", "elastic", "thick", "loose") and message.says(
                mark.last, "objects"
            ):
                continue
            if _of_a_thing(message, clause, mark):
                continue
            if word == "wet" and message.at(mark.first, "smell"):
                continue
            cue = clause.one("smellcue")
            if cue is not None and 0 <= mark.first - cue.last <= 2 and word not in _ONLY_TEXTURES:
                continue
            if all(one.value != meaning for one in found):
                found.append(claim(clause, mark, cast("Texture", meaning)))
    newest = min((one.age for one in found), default=0)
    return [one for one in found if one.age == newest]


def _of_a_thing(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "Lid on loose", "an orange elastic at the line": a lid, a band."""
    words = message.words
    word = words[mark.first]
    if mark.last - mark.first > 1:
        return False
    if word == "soup" and mark.first > clause.first:
        return words[mark.first - 1] not in _LIKENED
    if word == "loose":
        return bool({"lid", "cap", "cover", "cloth"} & set(clause.words))
    return word == "elastic" and message.says(mark.first - 1, "colour") is not None


_LIKENED = frozenset(
    {"its", "is", "like", "a", "pure", "basically", "just", "now", "total", "to", "was", "soup"}
)
_ONLY_TEXTURES = frozenset({"runny", "thick", "stretchy", "spongy", "lumpy", "stringy", "watery"})


def crust(message: Message, clauses: list[Clause]) -> Iterator[Claim[bool]]:
    for clause in clauses:
        if clause.mood == "asked" or clause.other or clause.age > 1 or clause.bread:
            continue
        mark = clause.one("crust")
        if (
            mark is None
            or mark.first >= clause.iffy_at
            or clause.has("film", "sure")
            or clause.has("smellcue")
        ):
            continue
        if clause.has("objects") and any(one in clause.words for one in ("loaf", "bread", "flour")):
            continue
        yield claim(clause, mark, not clause.denied(mark))
