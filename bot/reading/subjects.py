"""What a question is about: its patterns and single words weighed, and what was told just before."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import cast

from bot.culture.vocabulary import Ask
from bot.reading.asking import Strength, asking
from bot.reading.clauses import Clause, Message
from bot.reading.frames import Found
from bot.reading.marks import Mark
from bot.reading.slips import plainly
from bot.reading.topics import topics

_FRAMES = frozenset({"normal", "timing", "other"})
"""Asks that only say how something is asked; a subject beside them says more."""

RANK: tuple[Ask, ...] = (
    "safety", "discard", "missed", "ready", "alive", "liquid", "growth", "smell", "cold", "water",
    "warmth", "amounts", "flour", "jar", "slow", "bake", "timing", "keep", "next", "normal", "other",
)  # fmt: skip
"""Of two subjects with equal weight, the earlier one is what is asked."""

_LIGHT = frozenset(
    {
        "do", "i", "it", "the", "to", "have", "is", "a", "my", "can", "should", "need", "be", "with",
        "this", "that", "what", "how", "of", "does", "will", "in", "on", "at", "for", "we", "its",
        "has", "did", "an", "am", "there", "would", "u", "you", "long", "when", "why",
    }
)  # fmt: skip
"""Words that carry no subject of their own."""

_BASE: tuple[tuple[Strength, float], ...] = (("sure", 5.0), ("about", 2.2), ("weak", 0.1))
_PART = 0.5
"""What each further part of a pattern adds: the more it asks for, the more it says."""
_OPEN = 2.0
"""Weight below which a question leaves its subject to what was told before it."""
_LEAVING_OPEN = frozenset({"normal", "next", "other", "timing", "alive", "keep", "warmth"})


_THINGS = frozenset({"flour", "water", "jar", "cold", "bake", "discard", "missed"})
_REPORTED = frozenset({"rise", "bubble", "smell", "surface", "texture", "mould", "streak", "film", "pest", "float"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Subject:
    weight: float
    mark: Mark
    ask: Ask

    @property
    def is_open(self) -> bool:
        """Whether it only frames a question ("is that ok") and names nothing."""
        return self.ask in _LEAVING_OPEN and self.weight < _OPEN

    @property
    def order(self) -> tuple[float, int]:
        return self.weight, -RANK.index(self.ask)


def subject(message: Message, first: int, last: int, clause: Clause) -> Subject | None:
    """The weightiest subject of what is asked in tokens ``first..last`` (end excluded)."""
    text = _text(message, first, last)
    found = [*_patterns(text, first), *_nouns(message, text, first, last, clause)]
    return max(found, key=lambda one: one.order, default=None)


def _text(message: Message, first: int, last: int) -> str:
    return plainly(message.words[first:last])


def _patterns(text: str, first: int) -> Iterable[Subject]:
    for strength, base in _BASE:
        for ask, frames in asking().kinds[strength].items():
            found = frames.find(text)
            if found is None or _taken_back(ask, text, "never"):
                continue
            if strength == "sure" or not _taken_back(ask, text, "unless"):
                yield Subject(base + _PART * found.parts, _mark(first, found, ask), ask)


def _taken_back(ask: Ask, text: str, strength: Strength) -> bool:
    frames = asking().kinds[strength].get(ask)
    return frames is not None and frames.find(text) is not None


def _mark(first: int, found: Found, ask: Ask) -> Mark:
    return Mark(first + found.first, first + found.last, (("ask", ask),))


def _nouns(message: Message, text: str, first: int, last: int, clause: Clause) -> Iterable[Subject]:
    for mark in message.marks:
        if mark.first < first or mark.last > last:
            continue
        for category, meaning in mark.senses:
            if category != "ask":
                continue
            ask = cast("Ask", meaning)
            if ask == "water" and clause.has("where") and not clause.has("act", "add"):
                ask = "liquid"
            if _taken_back(ask, text, "unless") or _taken_back(ask, text, "never"):
                continue
            words = message.words[mark.first : mark.last]
            weight = sum(1.0 if one not in _LIGHT else 0.2 for one in words)
            yield Subject(min(weight, 1.5) - 1.0 if ask in _FRAMES else weight, mark, ask)


def raised(
    message: Message, spans: Iterable[tuple[int, int]], kinds: frozenset[str] | None = None
) -> Subject | None:
    """What was put on the table before a question that names nothing, the nearest first.

    ``kinds`` leaves out all others. A thing that is only named counts where nothing is reported of the jar: "fed rye, doubled, is
    that ok" asks of the rise.
    """
    named = not _reports(message)
    for first, last in spans:
        text = _text(message, first, last)
        found = [*_told_of(text, first, "raise")]
        if kinds is not None:
            found = [one for one in found if one.ask in kinds]
        elif named and not found:
            for strength in ("sure", "about"):
                found += [one for one in _told_of(text, first, strength) if one.ask in _THINGS]
        if found:
            return max(found, key=lambda one: (one.ask == "safety", *one.order))
    return None


def touched(message: Message, first: int, last: int) -> Ask | None:
    """The weightiest kind that the topics of a text ask about, for a question of no other subject."""
    kinds = asking().topics
    found = {kinds[one] for one in topics(_text(message, first, last)) if one in kinds}
    return min(found, key=RANK.index, default=None)


def _told_of(text: str, first: int, strength: Strength) -> Iterable[Subject]:
    for ask, frames in asking().kinds[strength].items():
        found = frames.find(text)
        if found is None or (ask == "safety" and _harmless(text)):
            continue
        named = strength != "raise" and _taken_back(ask, text, "unless")
        if not named and not _taken_back(ask, text, "never"):
            yield Subject(float(found.parts), _mark(first, found, ask), ask)


def _reports(message: Message) -> bool:
    """Whether the message tells of a sign, or of a feed."""
    return any(message.has(one) for one in _REPORTED) or any(
        mark.means("act", "fed") for mark in message.marks
    )


def worry(message: Message, first: int, last: int) -> Mark | None:
    """Something told that wants a word on safety though nobody asks: "the dog ate some"."""
    text = _text(message, first, last)
    found = asking().kinds["told"]["safety"].find(text)
    if found is None or _harmless(text):
        return None
    return _mark(first, found, "safety")


def _harmless(text: str) -> bool:
    return asking().kinds["nottold"]["safety"].find(text) is not None
