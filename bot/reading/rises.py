"""How high it rose and how long that took."""

from __future__ import annotations

from collections.abc import Iterator

from bot.culture.vocabulary import Rise
from bot.reading.claims import Claim, claim, latest
from bot.reading.clauses import Clause, Message
from bot.reading.hedges import hedge_before, hedged
from bot.reading.heights import between
from bot.reading.marks import Mark
from bot.reading.measured import measured

_WORDED = {"double": 2.0, "triple": 3.0, "quadruple": 4.0}
_NONE = Rise(ratio=1.0, low=1.0, high=1.1)
_LITTLE = Rise(ratio=1.2, low=1.05, high=1.4)
_BARELY = Rise(ratio=1.1, low=1.0, high=1.2)


def rise(message: Message, clauses: list[Clause]) -> Claim[Rise] | None:
    """The height told, as a ratio to the height after the feed; None when none is told."""
    found: list[Claim[Rise]] = []
    for clause in clauses:
        found += _in_clause(message, clause)
    if (told := between(message, clauses)) is not None:
        found.append(told)
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
    before = message.before(clause)
    if clause.left_out and before and not clause.has("rise") and (risen := before[-1].one("rise")):
        denied = clause.one("neg", "word")
        if denied is not None and before[-1].other:
            ratio = _WORDED.get(risen.says("rise") or "", 1.0)
            told = Rise(ratio=(1 + ratio) / 2, low=1.0, high=ratio) if ratio > 1 else _NONE
            yield claim(clause, denied, told)
    for mark, meaning in clause.all("rise"):
        if mark.first >= clause.iffy_at:
            break
        if asserted and clause.denied(mark):
            continue
        match meaning:
            case "double" | "triple" | "quadruple" if _of_something(message, mark):
                pass
            case "double" | "triple" | "quadruple":
                told = _worded(message, clause, mark, _WORDED[meaning])
                yield claim(clause, mark, told, 0 if _never(message, clause, mark) else 1)
            case "still":
                yield claim(clause, mark, _NONE)
            case "little" if _only_a_little(message, clause) or _over_a_mark(message, mark):
                yield claim(clause, mark, _LITTLE)
            case "nothing":
                if _alone(message, clause, mark):
                    yield claim(clause, mark, _NONE)
            case "verb":
                yield from _verb(message, clause, mark)
            case "up" if len(clause.words) <= 6 and not clause.amounts:
                if _near(clause, "rise", "little", mark, 1) is not None:
                    yield claim(clause, mark, _LITTLE)
            case _:
                pass
    for amount in clause.amounts:
        if amount.first < clause.iffy_at and (grown := measured(message, clause, amount)):
            yield claim(clause, amount, grown)


_DOUBLED_THINGS = frozenset(
    {
        "feed",
        "feeds",
        "batch",
        "portion",
        "amount",
        "dose",
        "check",
        "checked",
        "zero",
        "cream",
        "flour",
        "up",
        "dip",
        "lid",
        "bag",
        "glazed",
        "helping",
        "helpings",
        "serving",
        "usual",
        "quantity",
        "dinner",
        "breakfast",
        "rations",
    }
)


def _never(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "It never doubles" tells of a habit; what was measured today outdoes it."""
    return "never" in message.words[max(clause.first, mark.first - 3) : mark.first]


def _only_a_little(message: Message, clause: Clause) -> bool:
    """ "It grew but only a smidge": the growth is told in the clause before."""
    before = message.before(clause)[-1:]
    if clause.opener not in ("but", "only", "just", "though", ",") or len(clause.words) > 4:
        return False
    others = ("bubble", "smell", "smellcue", "liquid", "texture", "mould", "act")
    return not any(clause.has(one) for one in others) and any(
        one.mood == "told" and not one.other and not one.denied(grown)
        for one in before
        for grown, meaning in one.all("rise")
        if meaning == "verb"
    )


def _over_a_mark(message: Message, mark: Mark) -> bool:
    """ "Barely a whisker above the band"."""
    behind = message.words[mark.last : mark.last + 2]
    return (
        behind[:1] in (["above"], ["over"], ["past"])
        and behind[1:] == ["the"]
        and message.says(mark.last + 2, "rise") == "base"
    )


def _of_something(message: Message, mark: Mark) -> bool:
    """ "A double feed", "twice the water", "the bubbles have doubled": not the culture's height."""
    words = message.words
    at = mark.last
    while at < len(words) and words[at] in ("the", "my", "its", "as", "much", "normal", "usual"):
        at += 1
    if at < len(words) and (
        words[at] in _DOUBLED_THINGS or any(message.at(at, one) for one in ("ingredient", "flour"))
    ):
        return words[at] not in ("starter", "culture", "levain", "went", "got", "put", "came")
    return any(
        message.at(at, "bubble") is not None for at in range(max(0, mark.first - 2), mark.first)
    )


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
    before = hedge_before(message, mark.first)
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
    return hedged(ratio, before)


def _verb(message: Message, clause: Clause, mark: Mark) -> Iterator[Claim[Rise]]:
    words = message.words
    if clause.has("mould") or clause.has("blot") or clause.has("pest"):
        return
    if words[mark.last : mark.last + 1] in (
        ["feed"],
        ["feeds"],
        ["feeding"],
        ["feedings"],
        ["meals"],
    ):
        return
    if (
        any(measured(message, clause, one) for one in clause.amounts)
        or clause.has("rise", "double")
        or clause.has("rise", "triple")
    ):
        return
    behind = words[mark.last : mark.last + 3]
    if clause.denied(mark) and message.has("correct") and clause.has("surface"):
        return
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
