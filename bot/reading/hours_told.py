"""Which clock time a clause tells, and by what words a bare number in it is an hour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bot.reading.clauses import Clause, Message
from bot.reading.clocks import Clock, Half, clock_at

_HEDGES = frozenset({"~", "approx", "like", "exactly", "precisely", "about", "roughly", "around", "maybe"})  # fmt: skip
_NOW = frozenset({"now", "currently", "rn", "atm"})
_CUES = frozenset({"at", "around", "about", "since", "round", "by", "before", "after", "circa", "from", "till", "until", "abt", "between"})  # fmt: skip


def clock(message: Message, clause: Clause) -> Clock | None:
    """The clock time a clause tells: a sure one before a bare number behind a cue."""
    found = list(clocks(message, clause))
    return next((one for one in found if one.sure), found[0] if found else None)


def clocks(message: Message, clause: Clause) -> Iterator[Clock]:
    """The clock times of a clause, left to right."""
    at = clause.first
    while at < clause.last:
        found = clock_at(message, at, clause.last)
        if found is None:
            at += 1
            continue
        if found.sure or _cued(message, clause, found):
            yield _with_part(message, clause, found)
        at = found.last


def tells_now(clause: Clause) -> bool:
    """ "Its now 2pm", "2pm now": the time of writing, not of what was done before."""
    if not (clause.has("clock") and _NOW & set(clause.words)):
        return False
    # "Its now" may be of a place ("its now in the fridge"); it is no deed.
    return all(meaning == "moveverb" for _, meaning in clause.all("act"))


def beside(message: Message, clause: Clause) -> Iterator[Clause]:
    """The clauses next to one that only name a day: "yesterday, fed at nine", "at 8, this morning"."""
    for number in (clause.number - 1, clause.number + 1):
        if not 0 <= number < len(message.clauses):
            continue
        one = message.clauses[number]
        dated = one.has("day") or one.has("weekday") or one.has("part")
        fed = one.has("act", "fed") or not one.has("act")
        alone = len(one.words) <= 3 and not one.amounts and fed
        if dated and alone and one.sentence == clause.sentence:
            yield one


def _cued(message: Message, clause: Clause, found: Clock) -> bool:
    """Whether the words around a bare number say that it is an hour: "at 8", "fed 7", "8 today"."""
    before = message.words[found.first - 1] if found.first > clause.first else ""
    further = message.words[found.first - 2] if found.first - 1 > clause.first else ""
    if before == "@" or before in _CUES or (before in _HEDGES and further in _CUES | {"@"}):
        return True
    if _mended(message, clause, found):
        return True
    behind = found.last
    if message.at(behind, "day") is not None or message.at(behind, "part") is not None:
        return 1 <= found.hour <= 12
    if found.half == "exact" and message.says(behind, "act") == "feedword":
        return True
    if behind < clause.last or found.half:
        return False
    if found.first == clause.first and found.hour <= 12 and _day_told_before(message, clause):
        return True
    ended = found.first
    fed = any(mark.last == ended and meaning == "fed" for mark, meaning in clause.all("act"))
    dated = any(
        mark.last == ended for name in ("day", "weekday", "part") for mark, _ in clause.all(name)
    ) and clause.has("act", "fed")
    return (fed or dated) and found.hour <= 24


def _day_told_before(message: Message, clause: Clause) -> bool:
    """ "Fed this morning, 7": a lone number behind a feed and its day."""
    before = message.before(clause)
    if not before or before[-1].sentence != clause.sentence or before[-1].amounts:
        return False
    dated = any(before[-1].has(one) for one in ("day", "weekday", "part"))
    return dated and before[-1].has("act", "fed")


def _mended(message: Message, clause: Clause, found: Clock) -> bool:
    """ "Fed at 8, I mean 9": a number that mends an hour is an hour."""
    if not clause.number or found.last < clause.last or found.first > clause.first + 3:
        return False
    before = message.clauses[clause.number - 1]
    hour = before.has("clock") and before.has("act") and before.sentence == clause.sentence
    return hour and clause.has("correct")


def _with_part(message: Message, clause: Clause, found: Clock) -> Clock:
    """The half of the day that a "morning" or "last night" elsewhere in the clause tells."""
    if found.half:
        return found
    nearest: tuple[int, Half] | None = None
    parts = clause.all("part") or [
        part for one in beside(message, clause) for part in one.all("part")
    ]
    for mark, meaning in parts:
        half: Half = {"morning": "am", "night": "night"}.get(meaning, "pm")  # type: ignore[assignment]
        away = abs(mark.first - found.first)
        if nearest is None or away < nearest[0]:
            nearest = (away, half)
    return replace(found, half=nearest[1]) if nearest else found
