"""The answers to what people ask, and how the right one is found.

An answer is a rule's words with, beside them, the ways people ask for it. It is found by the words
of the question (weighted by how rare they are, slips mended), the topics touched and the asks read.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import get_args

from rapidfuzz.distance import DamerauLevenshtein

from bot.advice.facts import Facts
from bot.advice.judge import applies
from bot.advice.rulebook import LANGUAGE, Rule, near, read_rule
from bot.culture.vocabulary import Ask
from bot.errors import HandbookError
from bot.reading.topics import everyday, listed, spoken, topic_ids, topics

_QUESTION = re.compile(r"[^.!?\n]*\?")
TOPIC_WEIGHT = 0.55
LEAST_TOPIC_WEIGHT = 0.8
ASK_WEIGHT = 0.16
FITTED_WEIGHT = 0.15
"""An answer written for just these facts goes before the general one."""
UNASKED = 0.35
"""What knowledge that nobody asked for gives way to a mishap that was told."""
LONE_WORD = 0.6
"""A single telling word is thin ground where no topic is touched."""
ENOUGH = 0.42
"""The least score of an answer that is given."""
PLAIN = 0.8
"""From here on it leads even where nothing was asked outright."""
SURE = 0.62
"""From here on an answer leads even where the jar's signs have something to say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """``rule`` holds the words, the verdict and the sources; the rest is how it is asked for."""

    rule: Rule
    asks: tuple[str, ...]
    topics: tuple[str, ...]
    questions: tuple[str, ...]

    @property
    def id(self) -> str:
        return self.rule.id


@dataclass(frozen=True, slots=True)
class Found:
    """An answer and how well it fits; ``by_topic`` when the message touches its subject.

    ``directly``: a sentence with a question mark touches it.
    """

    answer: Answer
    score: float
    by_topic: bool
    directly: bool = False


@cache
def answers() -> tuple[Answer, ...]:
    """Every answer of the handbook. Raises HandbookError naming file, answer and fault."""
    folder = resources.files("bot.handbook") / LANGUAGE / "answers"
    return load(
        {
            file.name: file.read_text(encoding="utf-8")
            for file in folder.iterdir()
            if file.name.endswith(".toml")
        }
    )


def load(texts: Mapping[str, str]) -> tuple[Answer, ...]:
    """Answers from the texts of their files, by file name. Raises HandbookError."""
    found: list[Answer] = []
    for name in sorted(texts):
        try:
            table = tomllib.loads(texts[name])
        except tomllib.TOMLDecodeError as wrong:
            raise HandbookError(f"answers/{name}: {wrong}") from wrong
        for answer_id, body in table.items():
            found.append(_answer(f"answers/{name}: [{answer_id}]", answer_id, body))
    ids = [answer.id for answer in found]
    if twice := {name for name in ids if ids.count(name) > 1}:
        raise HandbookError(f"two answers are called '{min(twice)}'")
    return tuple(found)


def _answer(where: str, answer_id: str, body: object) -> Answer:
    if not isinstance(body, dict):
        raise HandbookError(f"{where} is no table")
    body = dict(body)
    keyed: dict[str, tuple[str, ...]] = {}
    for field in ("asks", "topics", "questions"):
        listed = body.pop(field, [])
        if not isinstance(listed, list) or not all(isinstance(item, str) for item in listed):
            raise HandbookError(f"{where} wants {field} as a list of texts")
        keyed[field] = tuple(listed)
    if not keyed["questions"]:
        raise HandbookError(f"{where} wants questions: the ways people ask")
    known_asks = list(get_args(Ask))
    for ask in keyed["asks"]:
        if ask not in known_asks:
            raise HandbookError(f"{where} asks: no ask is called '{ask}'{near(ask, known_asks)}")
    for topic in keyed["topics"]:
        if topic not in topic_ids():
            raise HandbookError(
                f"{where} topics: no topic is called '{topic}'{near(topic, list(topic_ids()))}"
            )
    rule = read_rule(where, answer_id, body, layer="answer")
    return Answer(rule=rule, **keyed)


def find(text: str, facts: Facts) -> Found | None:
    """The answer that fits best, None when none fits well enough. Deterministic.

    What stands before a question mark is heard first, the rest of the message only without that.
    """
    question = " ".join(_QUESTION.findall(text))
    if question and len(question) < len(text) - 1:
        asked = ranking(question, facts, topics(question))
        if asked and asked[0].by_topic and asked[0].score >= ENOUGH:
            return replace(asked[0], directly=True)
    ranked = ranking(text, facts)
    if not ranked or ranked[0].score < ENOUGH:
        return None
    return replace(ranked[0], directly=bool(question) and ranked[0].by_topic and "?" in text[-2:])


def ranking(text: str, facts: Facts, touching: tuple[str, ...] | None = None) -> tuple[Found, ...]:
    """Every answer that may be given on these facts, the best first.

    ``touching`` are the topics that count, None for all of the message.
    """
    index = _index()
    right = _everyday_stems()
    words = frozenset(word if word in right else index.mended(word) for word in terms(text))
    counted = facts.topics if touching is None else touching
    found: list[Found] = []
    for answer in answers():
        if applies(answer.rule, facts) != "yes":
            continue
        touched = [topic for topic in answer.topics if topic in counted]
        score = index.likeness(answer, words)
        if touched:
            score += TOPIC_WEIGHT * max(index.topic_weight(topic) for topic in touched)
            score += 0.12 * (len(touched) - 1)
        if answer.rule.when and touched:
            score += FITTED_WEIGHT
        score += ASK_WEIGHT * bool(set(answer.asks) & set(facts.asks))
        if not touched and len(words) < 2:
            score *= LONE_WORD
        found.append(Found(answer, score, bool(touched)))
    if not _by_form(text) and any(
        one.by_topic and one.answer.rule.verdict is not None for one in found
    ):
        found = [
            replace(one, score=one.score - UNASKED) if one.answer.rule.verdict is None else one
            for one in found
        ]
    return tuple(
        sorted(found, key=lambda item: (-item.score, -item.answer.rule.strength, item.answer.id))
    )


def _by_form(text: str) -> bool:
    """A question by its mark or by its first word."""
    first = text.casefold().split()[:1]
    return "?" in text or bool(first and first[0].strip(",.") in listed("questions"))


def terms(text: str) -> tuple[str, ...]:
    """The words of a question that carry its subject, cut to their stems."""
    return tuple(
        _stem(word) for word in spoken(text).split() if word != "." and word not in listed("empty")
    )


@cache
def _everyday_stems() -> frozenset[str]:
    return frozenset(_stem(word) for word in everyday())


def _stem(word: str) -> str:
    for ending in ("ing", "ies", "ed", "es", "s", "e"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word


class _Index:
    """Which words the questions of each answer use, and how much each word tells."""

    def __init__(self, known: tuple[Answer, ...]) -> None:
        self._questions = {
            answer.id: tuple(frozenset(terms(question)) for question in answer.questions)
            for answer in known
        }
        counts: dict[str, int] = {}
        for questions in self._questions.values():
            for word in frozenset().union(*questions):
                counts[word] = counts.get(word, 0) + 1
        total = len(known)
        self._weight = {
            word: math.log(1 + (total - count + 0.5) / (count + 0.5))
            for word, count in counts.items()
        }
        self._unseen = math.log(1 + (total + 0.5) / 0.5) * 0.5
        topic_counts: dict[str, int] = {}
        for answer in known:
            for topic in answer.topics:
                topic_counts[topic] = topic_counts.get(topic, 0) + 1
        self._topic_weight = {topic: 1 / math.sqrt(n) for topic, n in topic_counts.items()}

    def topic_weight(self, topic: str) -> float:
        """A topic that leads to many answers says less about each."""
        return max(self._topic_weight.get(topic, 1.0), LEAST_TOPIC_WEIGHT)

    def weight(self, word: str) -> float:
        return self._weight.get(word, self._unseen)

    def likeness(self, answer: Answer, words: frozenset[str]) -> float:
        """How alike the question is to the nearest of the answer's own, 0..1."""
        told = sum(self.weight(word) for word in words)
        if not told:
            return 0.0
        best = 0.0
        for question in self._questions[answer.id]:
            shared = sum(self.weight(word) for word in words & question)
            if shared:
                asked = sum(self.weight(word) for word in question)
                # Long messages dilute: what counts most is how much of the known question is there.
                best = max(best, shared / (asked**0.6 * told**0.4))
        return best

    def mended(self, word: str) -> str:
        if word in self._weight or len(word) < 5:
            return word
        for known in sorted(self._weight):
            if (
                known[0] == word[0]
                and len(known) >= 4
                and DamerauLevenshtein.distance(word, known, score_cutoff=1) <= 1
            ):
                return known
        return word


@cache
def _index() -> _Index:
    return _Index(answers())
