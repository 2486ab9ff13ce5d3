"""What the writer did, in the order told."""

from __future__ import annotations

from datetime import datetime

from bot.culture.vocabulary import Act, Baked, Binned, Discarded, Fed, Skipped, Stirred
from bot.reading.clauses import Clause, Message
from bot.reading.deeds import done
from bot.reading.discards import discarded, next_keeps, only_a_part
from bot.reading.feeds import feeds
from bot.reading.moves import moved
from bot.reading.skips import skipped

Told = tuple[int, int, Act]
"""Token span and act."""

_SIMPLE: dict[str, Act] = {"stirred": Stirred(), "baked": Baked(), "binned": Binned()}


def acts(message: Message, clauses: list[Clause], at: datetime) -> list[Told]:
    """Every act the writer tells of, not those asked about, planned, denied or somebody else's."""
    found: list[Told] = list(feeds(message, clauses, at))
    for clause in clauses:
        owned = clause.mood == "presumed" and "i" in clause.words
        if clause.other or not (clause.mood == "told" or owned):
            continue
        found += _simple(message, clause)
        found += discarded(message, clause, clauses)
        found += moved(message, clause)
        found += skipped(message, clause)
    if not any(act.act in ("fed", "started") for _, _, act in found):
        found += _fed_first(clauses, found)
    found.sort(key=lambda one: one[0])
    return _once(found)


def _fed_first(clauses: list[Clause], found: list[Told]) -> list[Told]:
    """ "Back in the fridge after a feed": the feed is told by the way."""
    moves = [last for _, last, act in found if act.act == "moved"]
    told: list[Told] = [
        (mark.first, mark.last, Fed())
        for clause in clauses
        for mark, _ in clause.all("since")
        if clause.message.words[mark.first] == "after" and any(last <= mark.first for last in moves)
    ]
    return told[:1]


def _simple(message: Message, clause: Clause) -> list[Told]:
    found: list[Told] = []
    for mark, meaning in clause.all("act"):
        act = _SIMPLE.get(meaning)
        if act is None or not done(message, clause, mark):
            continue
        put_away = clause.has("spot") and not {"bin", "drain", "sink"} & set(clause.words)
        if meaning == "binned" and (
            only_a_part(clause)
            or next_keeps(message.clauses, clause)
            or clause.has("habit")
            or put_away
        ):
            continue
        found.append((mark.first, mark.last, act))
    return found


def _once(found: list[Told]) -> list[Told]:
    """One act of a kind without fields, however often it is told; binning swallows discarding."""
    kept: list[Told] = []
    binned = any(act.act == "binned" for _, _, act in found)
    for one in found:
        act = one[2]
        if act.act == "discarded" and binned:
            continue
        if act.act in ("fed", "started"):
            kept.append(one)
            continue
        same = [other for other in kept if other[2].act == act.act]
        if any(other[2] == act for other in same) or (same and act in (Skipped(), Discarded())):
            continue
        kept = [
            other for other in kept if other not in same or other[2] not in (Skipped(), Discarded())
        ]
        kept.append(one)
    return kept
