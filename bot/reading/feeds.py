"""Feeds and the very first mix: ratio, masses, flours and time, told over one clause or several."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import cast

from bot.culture.quantities import Range
from bot.culture.vocabulary import Act, Fed, Flour, Ratio, Started
from bot.reading.amounts import Amount
from bot.reading.clauses import Clause, Message
from bot.reading.masses import Stuff, grams
from bot.reading.times import moment


@dataclass(slots=True)
class _Mix:
    first: int
    last: int
    started: bool
    sure: bool
    """Whether a word says that it was fed; else its ratio and masses must."""
    at: datetime | None = None
    ratio: Ratio | None = None
    masses: dict[str, Range] = field(default_factory=dict)
    flours: list[Flour] = field(default_factory=list)

    @property
    def told(self) -> bool:
        return self.sure or self.ratio is not None or "flour" in self.masses


def feeds(message: Message, clauses: list[Clause], at: datetime) -> Iterator[tuple[int, int, Act]]:
    """Every feed or first mix, in the order told."""
    mix: _Mix | None = None
    gap = 0
    for clause in clauses:
        opened = _opens(message, clause)
        if opened is not None and (
            mix is None or (opened.sure and mix.sure and _full(message, clause, mix))
        ):
            if mix is not None and mix.told:
                yield (mix.first, mix.last, _act(mix))
            mix, gap = opened, 0
        elif opened is not None and mix is not None:
            mix.sure = mix.sure or opened.sure
            mix.started = mix.started or opened.started
            gap = 0
        elif mix is None or not _adds(message, clause, mix):
            gap += 1
            if gap > 2 and mix is not None:
                if mix.told:
                    yield (mix.first, mix.last, _act(mix))
                mix = None
            continue
        assert mix is not None
        _fill(message, clause, mix, at)
    if mix is not None and mix.told:
        yield (mix.first, mix.last, _act(mix))


def _full(message: Message, clause: Clause, mix: _Mix) -> bool:
    """Whether the clause tells of another feed than the one being told."""
    if mix.started:
        return clause.has("act", "fed") and len(clause.words) > 1
    return bool(mix.ratio or mix.masses or mix.at) and (
        bool(_ratio(message, clause)) or clause.has("clock")
    )


def _opens(message: Message, clause: Clause) -> _Mix | None:
    if clause.mood != "told" or clause.other or (clause.has("habit") and not clause.has("day")):
        return None
    if (clause.has("act", "discarded") and not clause.has("act", "fed")) or clause.has(
        "act", "skipped"
    ):
        return None
    words = message.words
    for mark, meaning in clause.all("act"):
        if (
            meaning not in ("fed", "started", "add", "feedword")
            or mark.first >= clause.iffy_at
            or clause.denied(mark)
        ):
            continue
        behind = words[mark.last : mark.last + 2]
        if meaning == "started":
            if behind and (
                behind[0].endswith("ing")
                or behind[0] in ("to", "getting")
                or (behind[0] == "at" and any(one.kind == "length" for one in clause.amounts))
            ):
                continue
            if clause.has("rise") and not clause.has("flour") and not clause.has("weekday"):
                continue
            if clause.has("bubble") and not clause.has("flour"):
                continue
            return _Mix(mark.first, mark.last, True, True)
        if meaning == "fed":
            if (
                (behind and behind[:1] == ["up"])
                or words[mark.first - 2 : mark.first] == ["than", "when"]
                or words[max(clause.first, mark.first - 3) : mark.first][:2] == ["than", "when"]
            ):
                continue
            return _Mix(mark.first, mark.last, False, True)
        if meaning == "add" and (
            clause.has("flour")
            or clause.has("ingredient")
            or _ratio(message, clause)
            or any(one.kind in ("mass", "volume") for one in clause.amounts)
        ):
            if clause.has("smellcue") or (clause.has("where") and clause.has("liquid", "noun")):
                continue
            sure = (
                clause.has("flour")
                or bool(_ratio(message, clause))
                or (clause.has("ingredient", "water") and bool(clause.amounts))
            )
            if (
                words[mark.first]
                in ("used", "did", "mixed", "went", "moved", "changed", "switched", "swapped")
                or sure
            ):
                return _Mix(mark.first, mark.last, False, sure)
        if (
            meaning == "feedword"
            and (_ratio(message, clause) or _masses_told(message, clause))
            and not clause.has("head", "aux")
            and mark.first == clause.first
        ):
            return _Mix(mark.first, mark.last, False, True)
    if clause.iffy_at <= clause.first or (clause.has("head", "aux") and clause.queried):
        return None
    if _ratio(message, clause) and not clause.queried and not clause.has("neg"):
        return _Mix(clause.first, clause.last, False, False)
    if _masses_told(message, clause) and not clause.queried:
        return _Mix(clause.first, clause.last, False, False)
    return None


def _masses_told(message: Message, clause: Clause) -> bool:
    return any(
        one.kind in ("mass", "volume", "bare") and not one.part and _stuff(message, clause, one)
        for one in clause.amounts
    ) and (clause.has("flour") or clause.has("each"))


def _adds(message: Message, clause: Clause, mix: _Mix) -> bool:
    """Whether the clause says more of the mix before it: masses, a flour, a ratio, a time."""
    if clause.mood != "told" or clause.other or clause.iffy_at <= clause.first:
        return False
    if any(
        clause.has(one) for one in ("smellcue", "liquid", "mould", "rise", "bubble")
    ) and not any(one.kind in ("mass", "volume") for one in clause.amounts):
        return False
    if (
        clause.has("act")
        and not clause.has("act", "add")
        and not clause.has("act", "feedword")
        and not clause.has("act", "fed")
    ):
        if not any(one.kind == "mass" for one in clause.amounts) or clause.has("act", "discarded"):
            return False
    if clause.has("objects") and not clause.has("flour"):
        return False
    if _ratio(message, clause) or clause.has("same") or clause.has("equal"):
        return True
    if any(one.kind in ("mass", "volume") for one in clause.amounts) or _masses_told(
        message, clause
    ):
        return True
    if (
        clause.has("flour")
        and len(clause.words) <= 6 + 2 * len(clause.amounts)
        and not clause.has("place")
    ):
        return True
    if any(one.kind == "bare" and _stuff(message, clause, one) for one in clause.amounts):
        return True
    return (
        mix.at is None
        and len(clause.words) <= 5
        and (clause.has("clock") or clause.has("ago"))
        and mix.sure
    )


def _fill(message: Message, clause: Clause, mix: _Mix, at: datetime) -> None:
    if mix.at is None:
        mix.at = moment(message, clause, at)
    ratio = _ratio(message, clause)
    if ratio is not None:
        mix.ratio = ratio
    _weigh(message, clause, mix)
    flours: list[Flour] = []
    for mark, meaning in clause.all("flour"):
        if (
            meaning == "word"
            or clause.denied(mark)
            or (
                message.words[mark.first] == "bread"
                and mark.last - mark.first == 1
                and "flour" not in clause.words
            )
        ):
            continue
        if (
            message.words[mark.first] == "plain"
            and mark.last - mark.first == 1
            and "flour" not in clause.words
            and mark.first != clause.last - 1
        ):
            continue
        flour = cast("Flour", meaning)
        if flour not in flours and flour not in mix.flours:
            flours.append(flour)
    if "white" in flours and "bread" in flours:
        flours.remove("white")
    mix.flours += flours
    mix.last = max(mix.last, clause.last)


def _weigh(message: Message, clause: Clause, mix: _Mix) -> None:
    previous: Range | None = mix.masses.get("flour") or mix.masses.get("water")
    for amount in clause.amounts:
        if amount.kind not in ("mass", "volume", "bare") or (amount.part and amount.kind == "bare"):
            continue
        if amount.first >= clause.iffy_at:
            continue
        stuffs = _stuff(message, clause, amount)
        if not stuffs and amount.kind == "bare":
            continue
        for stuff in stuffs:
            weight = grams(amount, stuff)
            if weight is not None and stuff not in mix.masses:
                mix.masses[stuff] = weight
                previous = weight
    same = clause.one("same")
    if same is not None and previous is not None:
        for stuff in _stuff_behind(message, clause, same.last) or _stuff_before(
            message, clause, same.first
        ):
            mix.masses.setdefault(stuff, previous)


def _stuff(message: Message, clause: Clause, amount: Amount) -> list[Stuff]:
    """What an amount is of: the noun behind it, else the one before it."""
    behind = _stuff_behind(message, clause, amount.last)
    if behind:
        return behind
    if amount.last < clause.last and message.words[amount.last] not in (",", "each"):
        if message.says(amount.last, "flour") is None and amount.kind == "bare":
            if any(starts[amount.last] for starts in message.starts.values()) and not any(
                message.says(amount.last, one) for one in ("join", "ingredient", "each")
            ):
                return []
    return _stuff_before(message, clause, amount.first)


def _stuff_behind(message: Message, clause: Clause, at: int) -> list[Stuff]:
    words = message.words
    taken = {one.first for one in message.amounts}
    end = min(clause.last, at + 5)
    found: list[Stuff] = []
    while at < end and at not in taken:
        if message.at(at, "each"):
            return ["flour", "water"]
        flour = message.at(at, "flour")
        if flour is not None:
            found.append("flour")
            after = flour.last
            if (
                after < clause.last - 1
                and words[after] in ("and", "n", "+")
                and message.says(after + 1, "ingredient") == "water"
            ):
                found.append("water")
            return found
        ingredient = message.says(at, "ingredient")
        if ingredient:
            return [cast("Stuff", ingredient)]
        if message.at(at, "join") or message.at(at, "same") or words[at] in (",", "and", "."):
            return found
        at += 1
    return found


def _stuff_before(message: Message, clause: Clause, at: int) -> list[Stuff]:
    for back in range(1, 4):
        start = at - back
        if start < clause.first:
            return []
        if message.at(start, "flour"):
            return ["flour"]
        ingredient = message.says(start, "ingredient")
        if ingredient:
            return [cast("Stuff", ingredient)]
    return []


def _ratio(message: Message, clause: Clause) -> Ratio | None:
    """1:2:2, "equal parts", "one part starter three parts flour three parts water"."""
    found: Ratio | None = None
    for index in range(clause.first, clause.last):
        token = message.tokens[index]
        if token.kind == "ratio" and (ratio := _three(token.word)):
            if index >= clause.iffy_at or (index and message.words[index - 1] in ("from", "not")):
                continue
            found = ratio
    if found is not None:
        return found
    parts: dict[str, float] = {}
    for amount in clause.amounts:
        if amount.kind == "part":
            for stuff in _stuff_behind(message, clause, amount.last):
                parts[stuff] = amount.value
    if {"flour", "water", "starter"} <= parts.keys():
        return parts["starter"], parts["flour"], parts["water"]
    equal = clause.one("equal")
    if equal is not None and equal.first < clause.iffy_at and not clause.denied(equal):
        if (
            clause.has("ingredient", "starter")
            or not clause.has("ingredient", "water")
            or "everything" in clause.words
            or "three" in clause.words
        ):
            return 1.0, 1.0, 1.0
    return None


def _three(text: str) -> Ratio | None:
    for sign in ":/-":
        parts = text.split(sign)
        if len(parts) == 3:
            first, second, third = (float(one) for one in parts)
            if min(first, second, third) <= 0 or max(second, third) > 40 * first:
                return None
            if sign == ":" and all(len(one) == 2 for one in parts) and text[0] == "0":
                return None
            return first, second, third
    return None


def _act(mix: _Mix) -> Act:
    make = Started if mix.started else Fed
    return make(
        at=mix.at,
        ratio=mix.ratio,
        starter_g=mix.masses.get("starter"),
        flour_g=mix.masses.get("flour"),
        water_g=mix.masses.get("water"),
        flours=tuple(mix.flours),
    )
