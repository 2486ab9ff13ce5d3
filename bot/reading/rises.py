"""How high it rose and how long that took."""

from __future__ import annotations

from collections.abc import Iterator

from bot.culture.vocabulary import Rise
from bot.reading.amounts import Amount
from bot.reading.claims import Claim, claim, latest
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark

_WORDED = {"double": 2.0, "triple": 3.0, "quadruple": 4.0}
_NONE = Rise(ratio=1.0, low=1.0, high=1.1)
_LITTLE = Rise(ratio=1.2, low=1.05, high=1.4)
_BARELY = Rise(ratio=1.1, low=1.0, high=1.2)
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


def rise(message: Message, clauses: list[Clause]) -> Claim[Rise] | None:
    """The height told, as a ratio to the height after the feed; None when none is told."""
    found: list[Claim[Rise]] = []
    for clause in clauses:
        found += _in_clause(message, clause)
    if (between := _between(message, clauses)) is not None:
        found.append(between)
    return latest(found)


def _in_clause(message: Message, clause: Clause) -> Iterator[Claim[Rise]]:
    if clause.mood == "asked" or clause.other or clause.age > 1:
        return
    if clause.bread or (
        clause.has("smellcue")
        and not clause.has("rise", "verb")
        and not clause.has("rise", "double")
    ):
        return
    asserted = any(
        meaning in _WORDED and not clause.denied(mark) for mark, meaning in clause.all("rise")
    )
    for mark, meaning in clause.all("rise"):
        if mark.first >= clause.iffy_at:
            break
        if asserted and clause.denied(mark):
            continue
        match meaning:
            case "double" | "triple" | "quadruple":
                yield claim(clause, mark, _worded(message, clause, mark, _WORDED[meaning]))
            case "still":
                yield claim(clause, mark, _NONE)
            case "nothing":
                if _alone(message, clause, mark):
                    yield claim(clause, mark, _NONE)
            case "verb":
                yield from _verb(message, clause, mark)
            case _:
                pass
    for amount in clause.amounts:
        if amount.first < clause.iffy_at and (told := _measured(message, clause, amount)):
            yield claim(clause, amount, told)


def _alone(message: Message, clause: Clause, mark: Mark) -> bool:
    """Whether "nothing" is about the rise, not "nothing weird" or "smells of nothing"."""
    if clause.has("smell") or clause.has("mould") or clause.has("colour") or clause.has("act"):
        return False
    if mark.last - mark.first > 1 or mark.last >= clause.last:
        return True
    return message.words[mark.last] in (
        "today", "now", "yet", "still", "so", "here", "again", "this", "since", "after", "in", "overnight", "at", "to",
    )  # fmt: skip


def _worded(message: Message, clause: Clause, mark: Mark, ratio: float) -> Rise:
    before = _hedge_before(message, mark.first)
    words = message.words[max(clause.first, mark.first - 3) : mark.first]
    if clause.denied(mark):
        if "quite" in words or "yet quite" in words:
            return Rise(ratio=1 + (ratio - 1) * 0.75, low=1.5, high=ratio)
        if before == "over":
            return Rise(ratio=ratio * 0.9, low=1.0, high=ratio)
        return Rise(ratio=(1 + ratio) / 2, low=1.0, high=ratio)
    behind = " ".join(message.words[mark.last : mark.last + 3])
    if before == "over" and behind.startswith("if not more"):
        before = "over"
    if behind.startswith(
        (
            "and a bit",
            "and then some",
            "plus a bit",
            "or more",
            "maybe more",
            "if not more",
            "and more",
            ". maybe more",
            "and a half",
        )
    ):
        if behind.startswith("and a half"):
            return Rise(ratio=ratio + 0.5, low=ratio + 0.4, high=ratio + 0.6)
        before = "justover" if "bit" in behind or "some" in behind else "over"
    return _hedged(ratio, before)


def _hedged(ratio: float, hedge: str) -> Rise:
    grown = ratio - 1
    match hedge:
        case "under":
            return Rise(ratio=1 + grown * 0.88, low=1 + grown * 0.7, high=ratio)
        case "justover":
            return Rise(ratio=ratio + grown * 0.1, low=ratio, high=ratio + grown * 0.3)
        case "over":
            return Rise(ratio=ratio + grown * 0.25, low=ratio, high=1 + grown * 2)
        case "below":
            return Rise(ratio=1 + grown * 0.75, low=1.0, high=ratio)
        case "approx":
            return Rise(ratio=ratio, low=1 + grown * 0.85, high=1 + grown * 1.15)
        case _:
            return Rise(ratio=ratio, low=ratio, high=ratio)


def _hedge_before(message: Message, at: int) -> str:
    for back in range(1, 6):
        start = at - back
        if start < 0 or message.words[start] in (",", "."):
            break
        mark = message.at(start, "hedgenum")
        if mark is not None and mark.last <= at and not mark.means("hedgenum", "only"):
            if mark.last == at or all(one in _LINKS for one in message.words[mark.last : at]):
                return mark.says("hedgenum") or ""
    return ""


_LINKS = frozenset({"has", "have", "is", "the", "a", "its", "it", "be", "in", "been", "s", "my"})


def _verb(message: Message, clause: Clause, mark: Mark) -> Iterator[Claim[Rise]]:
    words = message.words
    if clause.has("mould") or clause.has("spot") or clause.has("pest"):
        return
    if (
        any(_measured(message, clause, one) for one in clause.amounts)
        or clause.has("rise", "double")
        or clause.has("rise", "triple")
    ):
        return
    behind = words[mark.last : mark.last + 3]
    if clause.denied(mark):
        soft = "much" in behind or "far" in behind or "lot" in words[mark.first : mark.last + 3]
        yield claim(clause, mark, Rise(ratio=1.1, low=1.0, high=1.3) if soft else _NONE)
        return
    little = _near(clause, "rise", "little", mark, 3)
    if little is not None and not clause.has("bubble"):
        text = " ".join(words[little.first : little.last])
        scant = text.startswith(("barely", "hardly", "scarcely", "not", "minimal"))
        yield claim(clause, mark, _BARELY if scant else _LITTLE)


def _near(clause: Clause, category: str, meaning: str, mark: Mark, reach: int) -> Mark | None:
    for one, said in clause.all(category):
        if said == meaning and (
            0 <= mark.first - one.last <= reach or 0 <= one.first - mark.last <= reach
        ):
            return one
    return None


def _measured(message: Message, clause: Clause, amount: Amount) -> Rise | None:
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
                or (len(clause.words) <= 4 and _rise_before(message, clause))
                or (amount.hedge in ("below", "over", "under") and len(clause.words) <= 6)
            ):
                ratio = 1 + amount.value / 100
            else:
                return None
        case "times":
            attached = words[amount.last - 1] in ("x", "fold") or behind[:1] in (["what"], ["where"])
            if not (cue or attached or _SIZE & set(behind)) or amount.value < 1:
                return None
            ratio = amount.value
        case "bare" if amount.part:
            if behind[:1] == ["way"] or "way" in behind or "jar" in behind or "full" in behind:
                return None
            if (
                behind[:1] == ["again"]
                or (cue and (before[-1:] == ["by"] or "up" in before or _close(clause, amount)))
                or (before[-1:] == ["by"] and not clause.has("act"))
            ):
                ratio = 1 + amount.value
            else:
                return None
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
    return _hedged(ratio, amount.hedge)


def _rise_before(message: Message, clause: Clause) -> bool:
    """ "hasnt risen much, maybe 10%": the clause before says what grew."""
    at = message.clauses.index(clause)
    return at > 0 and message.clauses[at - 1].has("rise")


def _close(clause: Clause, amount: Amount) -> bool:
    for mark, meaning in clause.all("rise"):
        if meaning in ("verb", "up") and abs(amount.first - mark.last) <= 2:
            return True
    return any(
        meaning == "verb" and 0 <= mark.first - amount.last <= 2
        for mark, meaning in clause.all("rise")
    )


def _between(message: Message, clauses: list[Clause]) -> Claim[Rise] | None:
    """Two heights of one jar: "from 4 cm to 9 cm", "was 250 ml, now 400", "up 3 cm from 6"."""
    measured: list[tuple[Clause, Amount]] = []
    for clause in clauses:
        if clause.mood != "told" or clause.other or clause.has("act", "discarded"):
            continue
        if clause.has("flour") or clause.has("ingredient", "water"):
            continue
        if clause.has("liquid") or clause.has("mould"):
            continue
        measured += [
            (clause, one) for one in clause.amounts
            if (one.kind == "length" or one.unit in ("ml",) or (one.kind == "bare" and not one.part))
            and one.first < clause.iffy_at
        ]  # fmt: skip
    for at in range(len(measured) - 1):
        (clause, first), (after, second) = measured[at], measured[at + 1]
        if first.kind == "bare" and second.kind == "bare" and not _marked(message, clause, first):
            continue
        if {first.kind, second.kind} == {"length", "volume"}:
            continue
        unit = second.unit or first.unit
        low = _size(first, unit)
        high = _size(second, unit)
        words = message.words
        bridge = words[first.last : second.last]
        before = [one for one in words[max(0, first.first - 2) : first.first] if one != "the"][-1:]
        if len(bridge) > 10:
            continue
        if "from" in bridge and (clause.has("rise") or clause.has("rise", "up")):
            grown, base = low, high
            if first.signed or "to" not in before:
                if words[first.first - 1] == "to":
                    ratio = grown / base if base else 0
                else:
                    ratio = (base + grown) / base if base else 0
            else:
                ratio = grown / base if base else 0
        elif (
            {"to", "->", "now", "-"} & set(bridge)
            or "now" in words[second.last : second.last + 3]
            or before == ["from"]
            or "was" in words[max(0, first.first - 3) : first.first]
        ):
            ratio = high / low if low else 0
        else:
            continue
        if 1.0 <= ratio <= 8:
            told = _hedged(ratio, "approx" if second.hedge == "approx" else "")
            return Claim(told, after.age if not after.has("now") else 0, first.first, second.last)
    return None


def _marked(message: Message, clause: Clause, first: Amount) -> bool:
    """ "from the 100 mark to the 230 mark": marks on the glass, in whatever unit."""
    warm = clause.has("place") or clause.has("tempcue") or clause.has("clock", "am")
    before = message.words[max(0, first.first - 2) : first.first]
    return "from" in before and clause.has("rise") and not warm


def _size(amount: Amount, unit: str) -> float:
    if amount.kind == "bare" or amount.kind == "volume":
        scale = {"mm": 1.0, "cm": 10.0, "inch": 25.4, "finger": 20.0}.get(unit, 1.0)
        return amount.value * scale if amount.kind == "bare" else amount.value
    return amount.millimetres


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
        since = message.at(amount.last, "since") is not None
        later = message.at(amount.last, "later") is not None
        within = bool(before) and (
            message.says(amount.first - 1, "within") is not None
            or "been" in before
            or "took" in before
        )
        rising = clause.has("rise")
        if not (since or later or within or rising):
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
    return value * 0.9 if amount.hedge == "below" else value
