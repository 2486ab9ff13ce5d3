"""What must never be missed: mould, coloured streaks, pests; and the flat film that only looks like it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, cast

from bot.culture.vocabulary import Streak
from bot.reading.claims import Claim, claim
from bot.reading.clauses import Clause, Message
from bot.reading.colours import of_grain, of_object
from bot.reading.marks import Mark

_MOULD_COLOURS = frozenset({"green", "blue", "black", "grey", "purple"})
_STREAK_COLOURS = frozenset({"pink", "orange", "red"})


def film(message: Message, clauses: list[Clause]) -> list[Claim[bool]]:
    found: list[Claim[bool]] = []
    for clause in clauses:
        if not _open(clause):
            continue
        marks = [mark for mark, meaning in clause.all("film") if meaning == "sure"]
        for mark in marks or _pale_layers(message, clause):
            coloured = _colour_before(message, mark) in _STREAK_COLOURS
            if mark.first >= clause.iffy_at or clause.has("notfilm") or coloured:
                continue
            found.append(claim(clause, mark, not clause.denied(mark)))
    return found


def _pale_layers(message: Message, clause: Clause) -> list[Mark]:
    """ "A smooth cream coloured layer": white or cream, a layer, neither wet nor fuzzy."""
    if clause.has("mould") or clause.has("liquid") or clause.has("blot"):
        return []
    layers = [mark for mark, _ in clause.all("layer") if message.words[mark.first] in _SKINS]
    return [
        mark for mark, meaning in clause.all("colour")
        if meaning == "white" and any(0 <= one.first - mark.last <= 3 for one in layers)
    ]  # fmt: skip


_SKINS = frozenset({"layer", "coat", "coating", "veil", "film", "sheet"})


def pests(message: Message, clauses: list[Clause]) -> list[Claim[bool]]:
    found: list[Claim[bool]] = []
    for at, clause in enumerate(clauses):
        if not _open(clause) or clause.has("pestnot"):
            continue
        for mark, _ in clause.all("pest"):
            if mark.first >= clause.iffy_at:
                continue
            if message.words[mark.first - 1 : mark.first] == ["like"] and clause.has("bubble"):
                continue
            if _PASSING & set(clause.words) and _BY & set(clause.words):
                continue
            if clause.denied(mark):
                found.append(claim(clause, mark, False))
                continue
            if clause.has("elsewhere") and not clause.has("jarplace"):
                nearby = clauses[at + 1 : at + 2]
                if not any(
                    one.has("jarplace")
                    and not one.has("neg")
                    and {"in", "into", "inside", "on"} & set(one.words)
                    for one in nearby
                ):
                    continue
            if _not_inside(clauses, at, clause):
                found.append(claim(clause, mark, False))
                continue
            found.append(claim(clause, mark, True))
    if any(one.value for one in found):
        later_none = [one for one in found if not one.value]
        if not later_none:
            return found
        return [one for one in found if one.value]
    return found


_PASSING = frozenset({"flew", "buzzed"})
_BY = frozenset({"past", "by", "away"})


def _not_inside(clauses: list[Clause], at: int, clause: Clause) -> bool:
    """ "on the lid, not inside": the next clause keeps it out of the jar."""
    if {"in", "inside"} & set(clause.words) or at + 1 >= len(clauses):
        return False
    after = clauses[at + 1]
    return (
        after.has("neg")
        and bool({"inside", "in", "into"} & set(after.words))
        and len(after.words) <= 6
    )


def _same_here(clauses: list[Clause], at: int, category: str) -> Mark | None:
    """ "a friend had black spots, mine has three": what was told of another jar is here too."""
    clause = clauses[at]
    if at == 0 or not clauses[at - 1].other or not clause.has("other", "mine"):
        return None
    if {"too", "also", "same", "has", "does", "got"} & set(clause.words) and not clause.has("neg"):
        signs = ("rise", "smell", "bubble", "liquid", "surface", "texture")
        if not any(clause.has(one) for one in signs):
            return clauses[at - 1].one(category)
    return None


def mould(message: Message, clauses: list[Clause]) -> list[Claim[bool]]:
    found: list[Claim[bool]] = []
    for at, clause in enumerate(clauses):
        if not _open(clause):
            continue
        if at:
            same = _same_here(clauses, at, "mould") or _same_here(clauses, at, "blot")
            if same is not None:
                found.append(claim(clause, same, True))
        for mark in _mould_marks(message, clauses, at):
            if mark.first >= clause.iffy_at:
                continue
            there = not clause.denied(mark) and not (clause.queried and _none_seen(clauses, at))
            found.append(claim(clause, mark, there))
    return found


def _none_seen(clauses: list[Clause], at: int) -> bool:
    """ "mould? where? i see none": what was asked about is said to be absent."""
    for clause in clauses[at + 1 : at + 3]:
        none = clause.one("neg", "after")
        if none is not None and clause.message.words[none.first] in ("none", "no", "nope"):
            return len(clause.words) <= 4
    return False


def _elsewhere(clause: Clause) -> bool:
    return clause.has("elsewhere") and not clause.has("jarplace")


def _mould_marks(message: Message, clauses: list[Clause], at: int) -> Iterator[Mark]:
    clause = clauses[at]
    words = message.words
    if (
        at
        and clause.opener in ("and", "n")
        and _elsewhere(clauses[at - 1])
        and not clause.has("jarplace")
    ):
        return
    cue = clause.one("smellcue")
    for mark, _ in clause.all("mould"):
        word = words[mark.first]
        behind = message.says(mark.last, "objects")
        if cue is not None and cue.first < mark.first and not _after_a_no(clause, cue, mark):
            continue
        if clause.has("elsewhere") and not clause.has("jarplace"):
            continue
        if clause.compared(mark) or (word in _OF_A_BODY and words[mark.first - 1] in ("my", "his")):
            continue
        if (
            word in ("hair", "hairs", "fur", "fluff", "cotton", "velvet", "beard", "wool")
            and behind
            and not message.at(mark.last, "layer")
        ):
            continue
        soft = word in ("fluffy", "fluff", "cotton", "velvet")
        spotted = clause.has("colour") or clause.has("blot")
        if soft and not spotted and (clause.has("texture") or clause.has("rise")):
            continue
        if word == "fluffy" and words[mark.last : mark.last + 2] == ["and", "light"]:
            continue
        yield mark
    for mark, meaning in clause.all("colour"):
        if meaning not in _MOULD_COLOURS and meaning != "white":
            continue
        if cue is not None and cue.first < mark.first:
            continue
        if of_object(message, clause, mark):
            continue
        spot = _near(clause, "blot", mark, 5)
        if meaning == "white":
            if (
                spot is not None
                and words[spot.first]
                in (
                    "spots",
                    "spot",
                    "dots",
                    "circles",
                    "circle",
                    "island",
                    "islands",
                    "colonies",
                    "patches",
                    "patch",
                )
                and not clause.has("film")
            ):
                yield mark
            continue
        if meaning in ("black", "grey"):
            grain = clause.has("harmless") or of_grain(message, clause, mark)
            if spot is not None and not grain and not clause.has("liquid", "noun"):
                yield mark
            continue
        if (clause.has("harmless") and spot is None) or (
            clause.has("elsewhere") and not clause.has("jarplace")
        ):
            continue
        yield mark


_OF_A_BODY = frozenset({"beard", "hair", "hairs", "whiskers", "fur"})


def _after_a_no(clause: Clause, cue: Mark, mark: Mark) -> bool:
    """ "Smells like beer no mould": the smell is told, and then something else is denied."""
    smelt = clause.one("smell")
    return any(
        cue.last < neg.first < mark.first and smelt is not None and smelt.last <= neg.first
        for neg, _ in clause.all("neg")
    )


def streak(message: Message, clauses: list[Clause]) -> list[Claim[Streak | Literal[False]]]:
    found: list[Claim[Streak | Literal[False]]] = []
    for clause in clauses:
        if not _open(clause) or clause.bread:
            continue
        cue = clause.one("smellcue")
        for mark, meaning in clause.all("colour"):
            if meaning not in _STREAK_COLOURS or mark.first >= clause.iffy_at:
                continue
            if cue is not None and cue.first < mark.first and mark.first - cue.last <= 3:
                continue
            if any(one.first == mark.first for one, _ in clause.all("rise")):
                continue
            if of_object(message, clause, mark):
                continue
            if meaning == "red" and of_grain(message, clause, mark):
                continue
            if clause.denied(mark):
                found.append(claim(clause, mark, False))
            else:
                found.append(claim(clause, mark, cast("Streak", meaning)))
    return found


def _colour_before(message: Message, mark: Mark) -> str | None:
    for back in (1, 2):
        colour = message.says(mark.first - back, "colour")
        if colour:
            return colour
    return None


def _near(clause: Clause, category: str, mark: Mark, reach: int) -> Mark | None:
    for one, _ in clause.all(category):
        if abs(one.first - mark.first) <= reach:
            return one
    return None


def _open(clause: Clause) -> bool:
    """Whether the clause may report a danger; an old one counts, for it may still be there."""
    others = clause.other and not clause.has("other", "dough")
    return clause.mood != "asked" and not others and not clause.retracted
