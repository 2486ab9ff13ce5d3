"""Feeds and the very first mix, told over one clause or several."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from bot.culture.vocabulary import Act
from bot.reading.batch import Batch, act, before_seen, fill, keep, order
from bot.reading.clauses import Clause, Message
from bot.reading.deeds import done
from bot.reading.hours_told import clock, tells_now
from bot.reading.marks import Mark
from bot.reading.mixes import mends, ratio, tells_masses
from bot.reading.skips import told_late

_JUST_MIXED = frozenset({"mixed", "all mixed", "just mixed", "mixed now", "mixed today"})

_EVERY_TIME = frozenset({"peaks", "doubles", "triples", "rises", "crests"})
"""Said of what a jar does on a ratio, not of a feed: "it peaks after 4 on 1:1:1"."""

_PATIENCE = 2
"""Clauses about other things after which masses no longer belong to the feed before."""

_HOURS_IN_A_DAY = 24


def feeds(message: Message, clauses: list[Clause], at: datetime) -> Iterator[tuple[int, int, Act]]:
    """Every feed or first mix, in the order told."""
    mix: Batch | None = None
    gap = 0
    told: list[Batch] = []
    first_day = any(clause.has("firstday") and clause.mood == "told" for clause in clauses)
    for clause in clauses:
        opened = _opens(message, clause)
        if opened is not None and (
            mix is None or (opened.sure and mix.sure and _another(message, clause, mix))
        ):
            told.append(opened)
            mix, gap = opened, 0
        elif opened is not None and mix is not None:
            mix.sure = mix.sure or opened.sure
            mix.started = mix.started or opened.started
            gap = 0
        elif mix is None or not _adds(message, clause, mix):
            gap += 1
            if gap > _PATIENCE:
                mix = None
            continue
        assert mix is not None
        fill(message, clause, mix, at)
    told = [one for one in told if one.told]
    order(told)
    before_seen(message, clauses, told, at)
    keep(message, clauses, told)
    for one in told:
        yield (one.first, one.last, act(one, first_day))


def _another(message: Message, clause: Clause, mix: Batch) -> bool:
    """Whether the clause tells of another feed than the one being told."""
    if mix.started:
        return clause.has("act", "fed") and len(clause.words) > 1
    if clause.has("since") or clause.has("correct", "strong"):
        return False
    if clause.words[0] == "again" and (clause.has("clock") or clause.has("part")):
        return True
    again = ratio(message, clause) is not None and mix.ratio is not None
    later = mix.at is not None and (
        clause.has("clock")
        or any(
            mark.last == one.first
            for mark, said in clause.all("act")
            if said == "fed"
            for one in clause.amounts
        )
    )
    return again or later


def _opens(message: Message, clause: Clause) -> Batch | None:
    if clause.mood != "told" or clause.other or (clause.has("habit") and not clause.has("day")):
        return None
    baked = clause.has("act", "baked") and not clause.has("act", "fed")
    if (
        baked
        or any(
            said == "skipped" and not told_late(message, mark) for mark, said in clause.all("act")
        )
        or (
            clause.has("act", "discarded")
            and not clause.has("act", "fed")
            and not (clause.has("act", "add") and tells_masses(message, clause))
        )
    ):
        return None
    if (
        clause.words[0] == "again"
        and clause.has("clock")
        and clause.number
        and message.clauses[clause.number - 1].has("act", "fed")
    ):
        return Batch(clause.first, clause.last, False, True)
    if _second_time(message, clause):
        return Batch(clause.first, clause.last, False, True)
    for mark, meaning in clause.all("act"):
        if not done(message, clause, mark) or _used_to(message, clause, mark):
            continue
        match meaning:
            case "started" if _begins(message, clause, mark):
                return Batch(mark.first, mark.last, True, True)
            case "fed" if not (_compares(message, clause, mark) or _mouths(message, mark)):
                return Batch(mark.first, mark.last, False, True)
            case "add" if _did_it(message, clause, mark):
                return Batch(mark.first, mark.last, False, True)
            case "add" if _puts_in(message, clause):
                return Batch(mark.first, mark.last, False, _sure(message, clause, mark))
            case "feedword" if _reports(message, clause, mark):
                return Batch(mark.first, mark.last, False, True)
            case _:
                pass
    if (
        clause.iffy_at <= clause.first
        or clause.queried
        or (
            clause.has("neg")
            and not clause.has("correct")
            and not any(mends(message, one) for one in clause.amounts)
        )
    ):
        return None
    if _EVERY_TIME & set(clause.words):
        return None
    if ratio(message, clause) or (
        tells_masses(message, clause) and not clause.has("liquid", "noun")
    ):
        return Batch(clause.first, clause.last, False, False)
    if _blends(clause):
        return Batch(clause.first, clause.last, False, False)
    return None


def _second_time(message: Message, clause: Clause) -> bool:
    """ "Fed 8am and 8pm": a clock time by itself, joined to a feed at another."""
    if clause.opener not in ("and", "n", "&", "+") or not clause.number:
        return False
    before = message.clauses[clause.number - 1]
    if not (before.has("act", "fed") and before.has("clock")):
        return False
    told = clock(message, clause)
    return told is not None and told.sure and told.first <= clause.first + 1 and told.last >= clause.last  # fmt: skip


def _blends(clause: Clause) -> bool:
    """ "Half rye half white today", "a mix of spelt and rye": the masses may follow."""
    kinds = {meaning for _, meaning in clause.all("flour") if meaning != "word"}
    mixed = clause.has("fraction") or bool({"mix", "mixture", "blend", "combo"} & set(clause.words))
    return len(kinds) > 1 and mixed and not clause.has("smellcue")


def _did_it(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "Nearly forgot to feed it but did it at 9": "it" is the feed of the clause before."""
    words, before = message.words, message.before(clause)
    if words[mark.first : mark.first + 2] != ["did", "it"] or not clause.has("clock"):
        return False
    return bool(before) and any(
        before[-1].has("act", one) for one in ("feedword", "fed", "skipped")
    )


def _used_to(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "I used to feed it rye": over and done with."""
    words = message.words
    start = max(clause.first, mark.first - 2)
    return any(words[at : at + 2] == ["used", "to"] for at in range(start, mark.last))


def _begins(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "Started it with rye", not "started bubbling", "started at 5 cm", "where it started"."""
    words = message.words
    behind = words[mark.last] if mark.last < clause.last else ""
    before = words[mark.first - 1] if mark.first > clause.first else ""
    if (
        behind.endswith("ing")
        or behind in ("to", "getting", "out")
        or (before in ("it", "has", "just") and not behind)
    ):
        return False
    if behind == "at" and any(
        one.kind in ("length", "volume") or (one.kind == "bare" and one.value > _HOURS_IN_A_DAY)
        for one in clause.amounts
    ):
        return False
    told = clause.has("flour") or clause.has("weekday") or clause.has("day")
    return told or not (clause.has("rise") or clause.has("bubble"))


def _compares(message: Message, clause: Clause, mark: Mark) -> bool:
    words = message.words
    before = words[max(clause.first, mark.first - 4) : mark.first]
    return (
        "than" in before
        or before[-2:] == ["as", "when"]
        or words[mark.last : mark.last + 1] == ["up"]
    )


def _mouths(message: Message, mark: Mark) -> bool:
    """ "Fed the kids": somebody else's meal."""
    other = message.at(mark.last, "other")
    if other is None or {"bread", "sun"} & set(message.words[other.first : other.last]):
        return False
    return other.says("other") in ("thing", "person")


def _puts_in(message: Message, clause: Clause) -> bool:
    if clause.has("smellcue") or clause.has("liquid", "noun") or clause.has("where", "top"):
        return False
    return bool(
        clause.has("flour") or clause.has("ingredient") or ratio(message, clause)
        or any(one.kind in ("mass", "volume") for one in clause.amounts)
        or tells_masses(message, clause)
    )  # fmt: skip


def _sure(message: Message, clause: Clause, mark: Mark) -> bool:
    if ratio(message, clause) is not None:
        return True
    if "last" in clause.words and "time" not in clause.words:
        return False
    return clause.has("flour") or (clause.has("ingredient", "water") and bool(clause.amounts))


def _reports(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "feed #9 done at seven", "0600 feed", "feed: 1:2:2": a log's line, not "feed it more"."""
    if {"done", "complete", "finished", "completed"} & set(clause.words):
        return True
    told = clock(message, clause)
    behind = message.words[mark.last : min(mark.last + 1, clause.last)]
    if behind in (["was"], [":"], ["at"]) and told is not None and not clause.queried:
        return not {"next", "should", "will", "i", "we"} & set(clause.words)
    if any(
        said == "aux" and message.at(at.first, "clock") is None for at, said in clause.all("head")
    ):
        return False
    if mark.first == clause.first and (ratio(message, clause) or tells_masses(message, clause)):
        return True
    return (
        len(clause.words) <= 3
        and bool(clause.amounts or clause.has("clock"))
        and not clause.queried
    )


def _adds(message: Message, clause: Clause, mix: Batch) -> bool:
    """Whether the clause says more of the mix before it: masses, a flour, a ratio, a time."""
    if clause.mood != "told" or clause.other or clause.iffy_at <= clause.first:
        return False
    if ratio(message, clause) or clause.has("equal"):
        return True
    if clause.has("correct") and mix.at is not None and clock(message, clause) is not None:
        return True
    weighed = any(one.kind in ("mass", "volume") for one in clause.amounts)
    other_act = any(
        meaning not in ("add", "feedword", "fed", "moveverb") for _, meaning in clause.all("act")
    )
    if other_act:
        return False
    about_signs = clause.has("liquid", "noun") or any(
        clause.has(one) for one in ("smellcue", "mould", "rise", "bubble", "float")
    )
    if about_signs and not weighed:
        return False
    if weighed or tells_masses(message, clause) or clause.has("same"):
        return not about_signs
    if clause.has("objects") and not clause.has("flour"):
        return False
    placed = any(meaning != "water" for _, meaning in clause.all("place"))
    if clause.has("flour") and not placed:
        return len(clause.words) <= 6 + 2 * len(clause.amounts)
    if tells_now(clause):
        return False
    timed = clause.has("clock") or clause.has("ago") or clock(message, clause) is not None
    return (mix.at is None and mix.sure and timed and len(clause.words) <= 5) or (
        mix.at is None and timed and "done" in clause.words
    )
