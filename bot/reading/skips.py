"""Feeds that were missed: how many, or for how many days, if told."""

from __future__ import annotations

from bot.culture.vocabulary import Act, Skipped
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark

_DAYS = {"day": 1.0, "week": 7.0, "month": 30.0}
_FEEDS = frozenset({"feed", "feeds", "feeding", "feedings", "meal", "meals"})
_ABOUT = _FEEDS | {"day", "days", "yesterday", "it", "today", "night", "morning", "evening", "weekend", "him", "her"}  # fmt: skip
_ONE = frozenset({"a", "one", "the", "my", "its", "yesterdays", "todays", "mornings", "nights", "evening", "morning", "last", "his", "this", "lunchtime"})  # fmt: skip
_BARE = ("missed", "forgot", "i forgot", "totally forgot", "completely forgot")
_COUNTING = ("skipped", "missed", "forgot a", "forgot the", "forgot my", "forgot its", "forgot yesterdays", "forgot todays", "forgot last", "forgot this")  # fmt: skip
_UNDONE = frozenset(
    {"didnt", "havent", "hasnt", "couldnt", "hadnt", "wasnt", "never", "without", "no"}
)


def skipped(message: Message, clause: Clause) -> list[tuple[int, int, Act]]:
    mark = clause.one("act", "skipped")
    said = mark is not None
    mark = mark or _unfed(clause)
    if mark is None or mark.first >= clause.iffy_at:
        return []
    text = " ".join(message.words[mark.first : mark.last])
    behind = message.words[mark.last : clause.last]
    if text in _BARE and not _ABOUT & set(clause.words):
        return []
    if {"discard", "alarm", "salt", "stir", "stirring"} & set(clause.words) and not _FEEDS & set(
        clause.words
    ):
        return []
    if (said and clause.denied(mark)) or "yet" in behind or (not said and "today" in behind):
        return []
    days = next((one.value * _DAYS[one.unit] for one in clause.amounts if one.unit in _DAYS), None)
    feeds = next(
        (one.value for one in clause.amounts
         if one.kind == "bare" and not one.part and _FEEDS & set(message.words[one.last : one.last + 2])),
        None,
    )  # fmt: skip
    if feeds is None and days is None:
        tail = set(message.words[mark.first : clause.last])
        if _FEEDS & tail and _ONE & tail and text.startswith(_COUNTING):
            feeds = 1.0
        elif "day" in tail and "a" in tail:
            days = 1.0
    return [(mark.first, mark.last, Skipped(feeds=feeds, days=days))]


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
