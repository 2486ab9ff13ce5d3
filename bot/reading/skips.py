"""Feeds that were missed: how many, or for how many days, if told."""

from __future__ import annotations

from itertools import pairwise

from bot.culture.vocabulary import Act, Skipped
from bot.reading.clauses import Clause, Message
from bot.reading.deeds import offered
from bot.reading.marks import Mark

_DAYS = {"day": 1.0, "week": 7.0, "fortnight": 14.0, "month": 30.0}
_LEFT = (("left", "it"), ("left", "him"), ("left", "her"), ("left", "alone"), ("sat", "untouched"), ("abandoned", "it"), ("left", "untouched"))  # fmt: skip
_AWAY = frozenset({"away", "gone", "holiday", "trip", "abroad", "hospital", "travelling", "vacation", "camping"})  # fmt: skip
_TOLD_LATE = frozenset(
    {"say", "tell", "mention", "add", "log", "write", "note", "report", "discard"}
)
"""What may be forgotten of a feed that was given."""
_TIMES = {"once": 1.0, "twice": 2.0, "thrice": 3.0}
_BARELY_DAYS = 1.0
_FEEDS = frozenset({"feed", "feeds", "feeding", "feedings", "meal", "meals"})
_ABOUT = _FEEDS | {"day", "days", "yesterday", "it", "today", "night", "morning", "evening", "weekend", "him", "her"}  # fmt: skip
_ONE = frozenset({"a", "one", "the", "my", "its", "yesterdays", "todays", "mornings", "nights", "evening", "morning", "last", "his", "this", "lunchtime"})  # fmt: skip
_BARE = ("missed", "skipped", "forgot", "i forgot", "totally forgot", "completely forgot")
_COUNTING = ("skipped", "missed", "forgot a", "forgot the", "forgot my", "forgot its", "forgot yesterdays", "forgot todays", "forgot last", "forgot this")  # fmt: skip
_UNDONE = frozenset(
    {
        "didnt",
        "havent",
        "hasnt",
        "couldnt",
        "hadnt",
        "wasnt",
        "never",
        "without",
        "no",
        "nobody",
        "noone",
        "none",
        "neither",
    }
)


def skipped(message: Message, clause: Clause) -> list[tuple[int, int, Act]]:
    mark = clause.one("act", "skipped")
    said = mark is not None
    mark = mark or _unfed(clause)
    if mark is None:
        return _left(clause)
    nearly = message.says(mark.first - 1, "hedgenum") == "under"
    if mark.first >= clause.iffy_at or nearly or offered(clause, mark):
        return []
    text = " ".join(message.words[mark.first : mark.last])
    behind = message.words[mark.last : clause.last]
    if said and told_late(message, mark):
        return []
    weekdays = _weekdays(message, clause, mark)
    if text in _BARE and not (_ABOUT & set(clause.words) or weekdays or "row" in behind):
        return []
    if {"discard", "alarm", "salt", "stir", "stirring"} & set(clause.words) and not _FEEDS & set(
        clause.words
    ):
        return []
    if (said and clause.denied(mark)) or "yet" in behind or (not said and "today" in behind):
        return []
    days = _days(clause) or _away(message, clause)
    feeds = _feeds(message, clause, mark, said=said)
    if feeds is None and days is None and weekdays:
        days = float(weekdays)
    if feeds is None and days is None:
        tail = set(message.words[mark.first : clause.last])
        if _FEEDS & tail and _ONE & tail and text.startswith(_COUNTING):
            feeds = 1.0
        elif "day" in tail and "a" in tail:
            days = 1.0
    return [(mark.first, mark.last, Skipped(feeds=feeds, days=days))]


def told_late(message: Message, mark: Mark) -> bool:
    """Whether it was the telling that was forgotten: "forgot to say I fed it at 8"."""
    behind = message.words[mark.last : mark.last + 2]
    if behind[:1] in (["if"], ["whether"], ["when"]):
        return True
    return behind[:1] == ["to"] and behind[1:] != [] and behind[1] in _TOLD_LATE


def _days(clause: Clause) -> float | None:
    return next((one.value * _DAYS[one.unit] for one in clause.amounts if one.unit in _DAYS), None)


def _away(message: Message, clause: Clause) -> float | None:
    """ "Away for 3 days and nobody fed it": how long is in the clause before."""
    for before in reversed(message.before(clause)):
        if before.sentence != clause.sentence:
            return None
        if _AWAY & set(before.words) or {"back", "from"} <= set(before.words):
            return _days(before)
    return None


def _feeds(message: Message, clause: Clause, mark: Mark, *, said: bool) -> float | None:
    """ "Two feeds", "both feeds", "forgot it twice", "three times"."""
    negated = not said or bool((_UNDONE | {"not"}) & set(message.words[mark.first : mark.last]))
    for one in clause.amounts:
        counted = _FEEDS & set(message.words[one.last : one.last + 2])
        if one.kind == "bare" and not one.part and counted:
            return one.value
        row = message.words[one.last : one.last + 3] == ["in", "a", "row"]
        if (one.unit == "times" or row) and one.first >= mark.last:
            return one.value
    for at in range(mark.first, clause.last):
        word = message.words[at]
        if word == "once" and negated:
            # "Didnt feed it once": not a single time.
            continue
        if word in _TIMES and message.words[at + 1 : at + 2] != ["a"]:
            return _TIMES[word]
        if word == "both" and _FEEDS & set(message.words[at + 1 : at + 3]):
            return 2.0
    return None


def _weekdays(message: Message, clause: Clause, mark: Mark) -> int:
    """How many days are named behind "missed": "missed friday and saturday"."""
    named = [day for day, _ in clause.all("weekday") if day.first >= mark.last]
    count = len(named)
    since = {"since", "until", "till"} & set(message.words[mark.last : clause.last])
    if (
        not named
        or since
        or named[0].first > mark.last + 2
        or not _stands_alone(message, clause, named[-1])
    ):
        return 0
    for after in message.clauses[clause.number + 1 :]:
        if after.sentence != clause.sentence or not after.has("weekday") or len(after.words) > 2:
            break
        count += 1
    return count


def _stands_alone(message: Message, clause: Clause, day: Mark) -> bool:
    """Whether the day itself was missed, not something on it: "missed the saturday market"."""
    if day.last >= clause.last:
        return True
    word = message.words[day.last]
    small = bool(message.single[day.last]) or not word.isalpha()
    return word in _FEEDS | {"s"} or small or message.at(day.last, "part") is not None


def _left(clause: Clause) -> list[tuple[int, int, Act]]:
    """ "Left it 5 days": alone, and not in the fridge, where it may stay."""
    words = clause.words
    if clause.has("spot") or clause.has("place", "fridge") or clause.iffy_at < clause.last:
        return []
    for at, pair in enumerate(pairwise(words)):
        if pair not in _LEFT or {"feeding", "after"} <= set(words[at:]):
            continue
        days = next(
            (
                one.value * _DAYS[one.unit]
                for one in clause.amounts
                if one.unit in _DAYS and one.first > clause.first + at
            ),
            None,
        )
        if days is not None and days > _BARELY_DAYS:
            return [(clause.first + at, clause.last, Skipped(days=days))]
    return []


def _unfed(clause: Clause) -> Mark | None:
    """ "didnt have time to feed it": a feed that a negation undoes, however far apart they stand."""
    feed = clause.one("act", "feedword") or clause.one("act", "fed")
    if feed is None:
        return None
    for neg, meaning in clause.all("neg"):
        if clause.message.words[neg.first : neg.last + 1] in (["no", "i"], ["no", "we"]):
            continue  # "Oh no I fed it without taking any out": a cry or an answer.
        undone = clause.message.words[neg.first] in _UNDONE and neg.last <= feed.first
        if meaning == "word" and undone and feed.first - neg.last <= 4:
            return feed
    return None
