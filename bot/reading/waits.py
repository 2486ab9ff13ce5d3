"""How many hours after the feed something was seen."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.amounts import Amount
from bot.reading.claims import Claim, claim, latest
from bot.reading.clauses import Clause, Message
from bot.reading.clocks import Clock, clock_at

_LONGEST = 120
_HOUR = frozenset({"hour", "hr", "hours", "hrs"})
_DEEDS = frozenset({"fed", "started", "stirred", "discarded", "baked", "binned"})
_PEAKED = frozenset({"peaked", "crested", "topped"})
_UNTIL_PEAK = frozenset({"at", "after", "in", "within"})
_TILL = frozenset({"to", "till", "til", "until", "-", "->"})


def hours(message: Message, clauses: list[Clause], told: bool) -> Claim[float] | None:
    """Hours between the feed and what is seen, when the message tells something seen (``told``)."""
    found: list[Claim[float]] = []
    for clause in clauses:
        if clause.other or (clause.mood == "asked" and not clause.has("since")):
            continue
        for amount in clause.amounts:
            if amount.first >= clause.iffy_at or clause.age == 2:
                continue
            value = _counted(message, clause, amount)
            if value is None and told and not _is_clock(message, clause, amount):
                value = _hours_of(message, clause, amount)
            if value is not None and 0 < value <= _LONGEST:
                found.append(claim(clause, amount, value))
        if told and (span := _between(message, clause)) is not None:
            found.append(span)
    return latest(found)


def _counted(message: Message, clause: Clause, amount: Amount) -> float | None:
    """ "At hour 6", "five hours in": told of the wait itself, whatever else is said."""
    words = message.words
    at = amount.first - 1
    if amount.kind == "bare" and not amount.part:
        if at > clause.first and words[at] == ":":
            at -= 1
        named = at >= clause.first and words[at] in _HOUR and at not in message.amount_lasts
        return amount.value if named else None
    if amount.unit not in ("hour", "minute") or _acts(clause) or clause.bread:
        return None
    if _peaks_before(words[clause.first : amount.first]) and _behind_peak(message, amount):
        return amount.hours
    if words[amount.last : amount.last + 2] == ["to", "peak"] and words[at] == "took":
        return amount.hours
    behind = words[amount.last : amount.last + 1]
    if behind == ["in"]:
        ends = amount.last + 1 >= clause.last or words[amount.last + 1] in ("and", "so", "still")
        return amount.hours if ends else None
    starts = amount.first == clause.first and clause.opener == ""
    return amount.hours if behind == ["later"] and starts else None


def _peaks_before(words: Sequence[str]) -> bool:
    """ "Peaked", "hit its peak", "reached the top": told as done, not hoped for."""
    said = set(words)
    reached = {"hit", "reached"} & said and {"peak", "top"} & said
    return bool(_PEAKED & said or reached or {"peak", "was"} <= said)


def _behind_peak(message: Message, amount: Amount) -> bool:
    """ "Peaked at around 5 hours", "peaked in about six": the wait, not "for" nor "2 hours ago"."""
    before = message.words[max(0, amount.first - 2) : amount.first + 1]
    behind = message.words[amount.last : amount.last + 1]
    timed = _UNTIL_PEAK & set(before) or message.at(amount.last, "since") is not None
    return bool(timed) and behind not in (["ago"], ["old"])


def _acts(clause: Clause) -> bool:
    """Whether something was done then, so that the hours are between two acts."""
    fed = clause.has("flour") or clause.has("ingredient")
    return any(meaning in _DEEDS or (meaning == "add" and fed) for _, meaning in clause.all("act"))


def _is_clock(message: Message, clause: Clause, amount: Amount) -> bool:
    """ "Fed at 18h": a time of day, however like a span it looks."""
    told = clock_at(message, amount.last - (2 if amount.unit else 1), clause.last)
    return told is not None and told.sure


def _between(message: Message, clause: Clause) -> Claim[float] | None:
    """ "Doubled between 8am and 2pm", "from 9 to 3": the hours from one clock time to the other."""
    if not clause.has("rise") or _acts(clause) or clause.mood != "told" or clause.age == 2:
        return None
    words, end = message.words, len(message.words)
    for at in range(clause.first, min(clause.last, clause.iffy_at)):
        start = clock_at(message, at, end)
        if start is None or start.last >= end:
            continue
        opened = words[at - 1] if at else ""
        if words[start.last] not in _TILL and not (
            opened == "between" and words[start.last] == "and"
        ):
            continue
        stop = clock_at(message, start.last + 1, end)
        if stop is None or not _are_clocks(start, stop, opened):
            continue
        value = _apart(start, stop)
        return Claim(value, clause.age, at, min(stop.last, clause.last)) if value else None
    return None


def _are_clocks(start: Clock, stop: Clock, opened: str) -> bool:
    """Whether two numbers are times: "from 3 to 6" may be heights, "from 9 to 3" cannot be."""
    if start.sure or (stop.sure and opened in ("between", "from")):
        return True
    return opened in ("between", "from") and stop.hour < start.hour <= 12


def _apart(start: Clock, stop: Clock) -> float:
    minutes = (stop.hour % 12 - start.hour % 12) * 60 + stop.minute - start.minute
    halved = {"am", "pm"}
    if start.half in halved and stop.half in halved:
        minutes += 720 * ((stop.half == "pm") - (start.half == "pm"))
        return minutes % 1440 / 60
    if max(start.hour, stop.hour) > 12:
        return ((stop.hour - start.hour) * 60 + stop.minute - start.minute) % 1440 / 60
    return (minutes % 720 or 720) / 60


def _alone(message: Message, clause: Clause, amount: Amount) -> bool:
    """ "Took all day to double, 11 hrs": a clause that is only a span, next to one of the rise."""
    if len(clause.words) > amount.last - amount.first + 1:
        return False
    near = message.clauses[max(0, clause.number - 1) : clause.number + 2]
    return any(
        one.has("rise") and one.mood == "told" and not _acts(one) and not one.has("ago")
        for one in near
        if one is not clause and one.sentence == clause.sentence
    )


def _hours_of(message: Message, clause: Clause, amount: Amount) -> float | None:
    words = message.words
    behind = words[amount.last : amount.last + 3]
    before = words[max(0, amount.first - 3) : amount.first]
    took = {"took", "takes", "taken"} & set(before)
    soon = amount.value <= 1 and message.says(amount.first - 1, "within") is not None
    in_days = amount.unit == "day" and amount.value <= 3 and words[amount.last - 1] != "night"
    next_day = amount.value <= 1 and message.at(amount.last, "later") is not None
    if amount.unit in ("hour", "minute") or (in_days and (took or soon or next_day)):
        if (
            "ago" in behind
            or "every" in before
            or "each" in before
            or "next" in before
            or "old" in behind
        ):
            return None
        held = "within" in words[amount.first : amount.last]
        since = message.at(amount.last, "since") is not None
        later = message.at(amount.last, "later") is not None
        within = bool(before) and (
            message.says(amount.first - 1, "within") is not None
            or "been" in before
            or "took" in before
        )
        rising = clause.has("rise")
        if not (since or later or within or rising or held or _alone(message, clause, amount)):
            return None
        if clause.bread or (clause.has("act", "moveverb") and clause.has("spot")):
            return None
        value = amount.hours
    elif (
        amount.kind == "bare"
        and not amount.part
        and before[-1:] in (["in"], ["within"], ["by"], ["at"], ["after"])
    ):
        if not any(
            mark.last <= amount.first and meaning in ("double", "triple", "verb")
            for mark, meaning in clause.all("rise")
        ):
            return None
        if amount.last < clause.last and behind[0] not in ("flat", "or", "today", "at"):
            return None
        if before[-1] in ("at", "by"):
            return None
        value = amount.value
    else:
        return None
    return value * 0.92 if amount.hedge == "below" else value
