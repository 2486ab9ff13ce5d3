"""A rise told in numbers: "up by half", "+80%", "2.5 times the size"."""

from __future__ import annotations

from bot.culture.vocabulary import Rise
from bot.reading.amounts import Amount
from bot.reading.clauses import Clause, Message
from bot.reading.hedges import hedged

_SIZE = frozenset(
    {
        "size",
        "height",
        "volume",
        "bigger",
        "taller",
        "higher",
        "high",
        "tall",
        "as",
        "original",
        "big",
        "the",
        "its",
    }
)


def measured(message: Message, clause: Clause, amount: Amount) -> Rise | None:
    """The ratio of "up by half", "+80%", "2.5 times the size", "150% of where it was"."""
    words = message.words
    behind = words[amount.last : amount.last + 4]
    before = words[max(clause.first, amount.first - 4) : amount.first]
    cue = clause.has("rise", "verb") or clause.has("rise", "up")
    match amount.kind:
        case "percent":
            if clause.has("flour") or clause.has("act", "discarded") or "hydration" in clause.words:
                return None
            if "of" in behind[:1] or before[-1:] == ["to"] or "at" in before[-1:]:
                ratio = amount.value / 100
                if ratio < 1 or (not cue and "of" not in behind[:1]):
                    return None
            elif (
                cue
                or amount.signed
                or _SIZE & set(behind)
                or "rise" in clause.words
                or "increase" in behind
                or (
                    len(clause.words) <= 6
                    and (
                        _rise_before(message, clause)
                        or _only_time(clause)
                        or _alone_in(clause, amount)
                    )
                )
                or (amount.hedge in ("below", "over", "under") and len(clause.words) <= 6)
            ):
                ratio = 1 + amount.value / 100
            else:
                return None
        case "times":
            attached = words[amount.last - 1] in ("x", "fold") or behind[:1] in (
                ["what"],
                ["where"],
            )
            if not (cue or attached or _SIZE & set(behind)) or amount.value < 1:
                return None
            ratio = amount.value
        case "bare" if amount.part:
            if (
                "way" in words[amount.first]
                or behind[:1] == ["way"]
                or "way" in behind
                or "jar" in behind
                or "full" in behind
            ):
                return None
            if (
                behind[:1] == ["again"]
                or (behind[:1] == ["as"] and behind[2:3] == ["again"])
                or (len(clause.words) <= 3 and _rise_before(message, clause))
                or (cue and (before[-1:] == ["by"] or "up" in before or _close(clause, amount)))
                or (behind[:1] == ["up"] and len(clause.words) <= 6)
                or (before[-1:] == ["by"] and not clause.has("act"))
            ):
                ratio = 1 + amount.value
            else:
                return None
        case "bare" if 1.0 < amount.value < 5 and amount.value % 1 and _told_short(message, clause):
            ratio = amount.value
        case "bare" if words[amount.first - 1 : amount.first] == ["x"] and amount.value <= 6:
            ratio = amount.value
        case _:
            return None
    if not 1.0 <= ratio <= 8:
        return None
    if clause.denied(amount):
        return Rise(ratio=(1 + ratio) / 2, low=1.0, high=ratio)
    if amount.low < amount.high:
        scale = 100 if amount.kind == "percent" else 1
        shift = 0 if amount.kind == "times" else 1
        return Rise(ratio=ratio, low=shift + amount.low / scale, high=shift + amount.high / scale)
    return hedged(ratio, amount.hedge)


def _rise_before(message: Message, clause: Clause) -> bool:
    """ "hasnt risen much, maybe 10%": the clause before says what grew."""
    at = clause.number
    earlier = message.clauses[max(0, at - 2) : at]
    return any(one.has("rise") and one.sentence == clause.sentence for one in earlier)


def _alone_in(clause: Clause, amount: Amount) -> bool:
    """ "like 10 percent": a share and nothing it could be a share of."""
    return len(clause.words) - (amount.last - amount.first) <= 1 and clause.sentence == 0


def _told_short(message: Message, clause: Clause) -> bool:
    """ "Hoped for double, got maybe 1.3"."""
    return len(clause.words) <= 4 and any(one.has("rise") for one in message.before(clause)[-1:])


def _only_time(clause: Clause) -> bool:
    """ "yesterday 80%, today only 30%": a share and a day, and nothing else it could be a share of."""
    return clause.has("now") or clause.has("past")


def _close(clause: Clause, amount: Amount) -> bool:
    for mark, meaning in clause.all("rise"):
        if meaning in ("verb", "up") and abs(amount.first - mark.last) <= 2:
            return True
    return any(
        meaning == "verb" and 0 <= mark.first - amount.last <= 2
        for mark, meaning in clause.all("rise")
    )
