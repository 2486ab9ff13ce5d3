"""What the writer did: moved, discarded, skipped, stirred, baked, binned; feeds are in ``feeds.py``."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import cast

from bot.culture.quantities import Range
from bot.culture.vocabulary import Act, Baked, Binned, Discarded, Moved, Skipped, Spot, Stirred
from bot.reading.clauses import Clause, Message
from bot.reading.feeds import feeds
from bot.reading.marks import Mark
from bot.reading.masses import grams

Told = tuple[int, int, Act]
"""Token span and act."""


def acts(message: Message, clauses: list[Clause], at: datetime) -> list[Told]:
    """The acts in the order told."""
    found: list[Told] = list(feeds(message, clauses, at))
    for clause in clauses:
        owned = clause.mood == "presumed" and " i " in f" {clause.text} "
        if clause.other or not (clause.mood == "told" or owned):
            continue
        found += _plain(message, clause)
        found += _discarded(message, clause, clauses)
        found += _moved(message, clause)
        found += _skipped(message, clause, clauses)
    found.sort(key=lambda one: one[0])
    return _once(found)


def _once(found: list[Told]) -> list[Told]:
    """One act of a kind that has no fields, however often it is told; binning swallows discarding."""
    kept: list[Told] = []
    binned = any(act.act == "binned" for _, _, act in found)
    for one in found:
        act = one[2]
        if act.act == "discarded" and binned:
            continue
        if act.act in ("stirred", "baked", "binned", "skipped", "moved", "discarded"):
            same = [other for other in kept if other[2].act == act.act]
            if any(other[2] == act for other in same):
                continue
            if same and act in (Skipped(), Discarded()):
                continue
            bare = [other for other in same if other[2] in (Skipped(), Discarded())]
            kept = [other for other in kept if other not in bare]
        kept.append(one)
    return kept


def _did(clause: Clause, mark: Mark) -> bool:
    nearly = clause.message.says(mark.first - 1, "hedgenum") == "under"
    return mark.first < clause.iffy_at and not clause.denied(mark) and not nearly


def _plain(message: Message, clause: Clause) -> list[Told]:
    found: list[Told] = []
    simple: dict[str, Act] = {"stirred": Stirred(), "baked": Baked(), "binned": Binned()}
    for mark, meaning in clause.all("act"):
        act = simple.get(meaning)
        if act is None or not _did(clause, mark):
            continue
        if meaning == "binned" and (
            "half" in clause.words
            or "some" in clause.words
            or "most" in clause.words
            or clause.has("fraction")
            or _percent(clause)
        ):
            continue
        if meaning == "binned" and clause.has("habit"):
            continue
        found.append((mark.first, mark.last, act))
    return found


def _percent(clause: Clause) -> bool:
    return any(one.kind in ("percent", "mass") for one in clause.amounts)


def _discarded(message: Message, clause: Clause, clauses: list[Clause]) -> list[Told]:
    mark = clause.one("act", "discarded")
    if (
        mark is None
        or not _did(clause, mark)
        or (clause.has("act", "binned") and not (_percent(clause) or clause.has("fraction")))
    ):
        return []
    words = message.words
    text = " ".join(words[mark.first : mark.last])
    if (
        clause.has("habit")
        or clause.has("outof")
        or clause.has("act", "outof")
        or clause.has("mould")
        or clause.has("pest")
    ):
        return []
    if clause.has("liquid", "noun") or (clause.has("clock") and text == "lost"):
        return []
    behind = words[mark.last : mark.last + 3]
    if text in (
        "took out",
        "taken out",
        "removed",
        "tipped",
        "poured",
        "threw",
        "tossed",
        "chucked",
        "dumped",
        "kept",
        "lost",
        "washed",
        "got rid of",
        "got rid",
        "discard",
        "scooped out",
        "poured out",
        "poured away",
        "ditched",
        "poured off half",
        "trashed",
        "tipped out",
        "tipped away",
        "threw away",
        "threw out",
        "emptied out",
        "removed about",
        "took half",
        "binned",
        "tossed out",
        "chucked out",
    ):
        measured = (
            _percent(clause)
            or clause.has("fraction")
            or any(one.part for one in clause.amounts)
            or any(
                one in clause.words
                for one in (
                    "some",
                    "most",
                    "rest",
                    "discard",
                    "excess",
                    "bit",
                    "everything",
                    "few",
                    "lot",
                    "part",
                    "all",
                )
            )
        )
        if text == "discard" and (
            (mark.first == clause.first and mark.last >= clause.last) or "done" in behind
        ):
            measured = True
        if text == "discard" and not (mark.first == clause.first):
            return []
        if not measured and not any(one.kind in ("volume",) for one in clause.amounts):
            return []
        if "off" in behind[:2] and not clause.has("fraction"):
            return []
        if text == "lost":
            return []
    share: float | None = None
    grams_told: Range | None = None
    for amount in clause.amounts:
        if amount.kind == "percent" and 0 < amount.value <= 100:
            share = amount.value / 100
        elif amount.part and amount.kind == "bare" and 0 < amount.value < 1:
            share = amount.value
        elif amount.kind in ("mass", "volume") and (weight := grams(amount, "starter")):
            grams_told = weight
        elif (
            amount.kind == "bare"
            and text in ("discarded", "removed", "took out")
            and amount.value >= 10
            and not message.says(amount.last, "unit")
            and message.says(amount.first - 1, "clock") != "at"
        ):
            grams_told = Range.exact(amount.value)
    if "halved" in text or "half" in text:
        share = 0.5
    if text == "kept":
        if share is not None:
            share = 1 - share
        elif any("rest" in one.words for one in clauses):
            share = None
        else:
            return []
        grams_told = None
    elif "but" in behind or "except" in clause.words or "all but" in clause.text:
        grams_told = None
    return [(mark.first, mark.last, Discarded(grams=grams_told, share=share))]


def _moved(message: Message, clause: Clause) -> list[Told]:
    out = clause.one("act", "outof")
    verb = clause.one("act", "moveverb")
    if out is not None:
        if not _did(clause, out) or (verb is None and len(clause.words) > 8):
            return []
        spot = next(
            (meaning for mark, meaning in clause.all("spot") if mark.first >= out.last), "counter"
        )
        return [(out.first, out.last, Moved(to=cast("Spot", spot)))]
    if verb is None or not _did(clause, verb):
        return []
    words = message.words
    left = [one for one in clause.all("spot") if _left(words, one[0].first)]
    spots = [one for one in clause.all("spot") if one not in left]
    if left and not spots:
        at = clause.number
        spots = message.clauses[at + 1].all("spot") if at + 1 < len(message.clauses) else []
        if not spots:
            return []
        return [(verb.first, left[0][0].last, Moved(to=cast("Spot", spots[0][1])))]
    if not spots or clause.has("habit"):
        return []
    mark, meaning = next((one for one in spots if one[0].first > verb.first), spots[0])
    if mark.first < verb.first and message.words[verb.first] not in ("it", "went", "now", "goes"):
        if message.words[verb.first] not in ("went",):
            return []
    if (
        message.words[verb.first] in ("to", "into")
        and len(clause.words) > 5
        and clause.has("head", "aux")
    ):
        return []
    if mark.first - verb.last > 8 or clause.denied(mark):
        return []
    return [(verb.first, mark.last, Moved(to=cast("Spot", meaning)))]


_UNDONE = frozenset(
    {"didnt", "havent", "hasnt", "couldnt", "hadnt", "wasnt", "never", "without", "forgot", "no"}
)


def _unfed(clause: Clause) -> Mark | None:
    """ "didnt have time to feed it": a feed that a negation undoes, however far apart they stand."""
    feed = clause.one("act", "feedword") or clause.one("act", "fed")
    if feed is None:
        return None
    for neg, meaning in clause.all("neg"):
        undone = clause.message.words[neg.first] in _UNDONE and neg.last <= feed.first
        if meaning == "word" and undone and feed.first - neg.last <= 4:
            return feed
    return None


def _left(words: Sequence[str], at: int) -> bool:
    """Whether the place is what it was taken from: "out of the cupboard"."""
    before = list(words[max(0, at - 3) : at])
    return "from" in before or (
        before[-2:] in (["of", "the"], ["of", "my"], ["out", "the"]) and "out" in words
    )


def _skipped(message: Message, clause: Clause, clauses: list[Clause]) -> list[Told]:
    mark = clause.one("act", "skipped") or _unfed(clause)
    if mark is None or mark.first >= clause.iffy_at:
        return []
    words = message.words
    text = " ".join(words[mark.first : mark.last])
    behind = words[mark.last : clause.last]
    if text in ("skipped", "missed", "forgot", "i forgot", "totally forgot", "completely forgot"):
        whole = set(clause.words)
        if (
            not whole
            & {
                "feed",
                "feeds",
                "feeding",
                "feedings",
                "day",
                "days",
                "yesterday",
                "it",
                "meal",
                "today",
                "night",
                "morning",
                "evening",
                "weekend",
            }
            and text != "skipped"
        ):
            return []
        if whole & {"discard", "alarm", "salt", "stir", "stirring"} and "feed" not in whole:
            return []
    undone = mark.says("act") != "skipped"
    if (
        (clause.denied(mark) and not undone)
        or "yet" in behind
        or (clause.has("now") and undone and "today" in behind)
    ):
        return []
    feeds_told: float | None = None
    days: float | None = None
    for amount in clause.amounts:
        if amount.unit == "day":
            days = amount.value
        elif amount.unit == "week":
            days = amount.value * 7
        elif amount.unit == "month":
            days = amount.value * 30
        elif (
            amount.kind == "bare"
            and not amount.part
            and words[amount.last : amount.last + 1]
            in (["feed"], ["feeds"], ["feedings"], ["feeding"], ["meals"])
        ):
            feeds_told = amount.value
    if "no feed" in text or "no feeds" in text:
        feeds_told = None
    elif (
        feeds_told is None
        and days is None
        and {"feed", "feeding", "meal"} & set(words[mark.first : clause.last])
        and text not in ("forgot to feed", "forgot to feed it", "forgot feeding")
    ):
        singles = {
            "a",
            "one",
            "the",
            "my",
            "its",
            "yesterdays",
            "todays",
            "mornings",
            "nights",
            "evening",
            "morning",
            "last",
            "his",
            "this",
        }
        if singles & set(words[mark.first : clause.last]) and not text.startswith(
            ("didnt", "havent", "hasnt", "forgot to", "went without", "without", "couldnt", "not")
        ):
            feeds_told = 1.0
    if days is None and feeds_told is None and "a day" in clause.text:
        days = 1.0
    return [(mark.first, mark.last, Skipped(feeds=feeds_told, days=days))]
