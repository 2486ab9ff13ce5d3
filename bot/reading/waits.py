"""How many hours after the feed something was seen."""

from __future__ import annotations

from bot.reading.amounts import Amount
from bot.reading.claims import Claim, claim, latest
from bot.reading.clauses import Clause, Message


def hours(message: Message, clauses: list[Clause], told: bool) -> Claim[float] | None:
    """Hours between the feed and what is seen, when the message tells something seen (``told``)."""
    if not told:
        return None
    found: list[Claim[float]] = []
    for clause in clauses:
        if clause.other or (clause.mood == "asked" and not clause.has("since")):
            continue
        for amount in clause.amounts:
            if amount.first >= clause.iffy_at or clause.age == 2:
                continue
            value = _hours_of(message, clause, amount)
            if value is not None:
                found.append(claim(clause, amount, value))
    return latest(found)


def _hours_of(message: Message, clause: Clause, amount: Amount) -> float | None:
    words = message.words
    behind = words[amount.last : amount.last + 3]
    before = words[max(0, amount.first - 3) : amount.first]
    if amount.unit in ("hour", "minute") or (
        amount.unit == "day" and {"took", "takes", "taken"} & set(before) and amount.value <= 3
    ):
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
        if not (since or later or within or rising or held):
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
    if not 0 < value <= 120:
        return None
    return value * 0.92 if amount.hedge == "below" else value
