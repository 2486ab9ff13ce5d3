"""The small language of conditions: ``day = "3..5"``, ``smell = "any of cheesy, rotten"``.

A condition is held against one fact and answers yes, no or unknown. An unknown fact, or a range
that straddles a bound, is unknown; only ``known`` and ``unknown`` ask about that itself.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal, TypeAlias

from bot.culture.quantities import Range

Truth: TypeAlias = Literal["yes", "no", "unknown"]
Value: TypeAlias = float | int | bool | str | Range | tuple[str, ...] | None
Sort: TypeAlias = Literal["number", "word", "words", "yes-no"]

_NUMBER = r"-?\d+(?:\.\d+)?"


@dataclass(frozen=True, slots=True)
class Between:
    """``low <= value <= high``, with open ends for ``under`` and ``over``."""

    low: float
    high: float
    open_low: bool = False
    open_high: bool = False

    def holds(self, value: Value) -> Truth:
        if value is None:
            return "unknown"
        span = value if isinstance(value, Range) else Range.exact(float(value))  # type: ignore[arg-type]
        inside_low = self._above(span.low)
        inside_high = self._below(span.high)
        if inside_low and inside_high:
            return "yes"
        if not self._above(span.high) or not self._below(span.low):
            return "no"
        return "unknown"

    def overlaps(self, other: Between) -> bool:
        low, high = max(self.low, other.low), min(self.high, other.high)
        if low == high:
            touching = (self, other)
            return all(item._above(low) and item._below(low) for item in touching)
        return low < high

    def _above(self, number: float) -> bool:
        return number > self.low if self.open_low else number >= self.low

    def _below(self, number: float) -> bool:
        return number < self.high if self.open_high else number <= self.high


@dataclass(frozen=True, slots=True)
class AnyOf:
    """One word of these; of several words, at least one of these."""

    words: frozenset[str]

    def holds(self, value: Value) -> Truth:
        if value is None:
            return "unknown"
        told = value if isinstance(value, tuple) else (value,)
        return "yes" if self.words.intersection(told) else "no"

    def overlaps(self, other: AnyOf) -> bool:
        return bool(self.words & other.words)


@dataclass(frozen=True, slots=True)
class AllOf:
    """Each of these words was told."""

    words: frozenset[str]

    def holds(self, value: Value) -> Truth:
        if value is None:
            return "unknown"
        assert isinstance(value, tuple)
        return "yes" if self.words.issubset(value) else "no"


@dataclass(frozen=True, slots=True)
class Only:
    """Something was told, and nothing but these words."""

    words: frozenset[str]

    def holds(self, value: Value) -> Truth:
        if value is None:
            return "unknown"
        assert isinstance(value, tuple)
        return "yes" if value and self.words.issuperset(value) else "no"


@dataclass(frozen=True, slots=True)
class Is:
    wanted: bool

    def holds(self, value: Value) -> Truth:
        if value is None:
            return "unknown"
        return "yes" if value is self.wanted else "no"

    def overlaps(self, other: Is) -> bool:
        return self.wanted is other.wanted


@dataclass(frozen=True, slots=True)
class Known:
    wanted: bool

    def holds(self, value: Value) -> Truth:
        return "yes" if (value is not None) is self.wanted else "no"


Condition: TypeAlias = Between | AnyOf | AllOf | Only | Is | Known


def parse(text: str, sort: Sort, allowed: frozenset[str] | None) -> Condition:
    """The condition written as ``text`` about a fact of that sort.

    ``allowed`` are the words the fact can take, None when any word goes. Raises ValueError with
    what was wanted instead.
    """
    text = text.strip()
    if text in ("known", "unknown"):
        return Known(text == "known")
    match sort:
        case "yes-no":
            if text in ("yes", "no"):
                return Is(text == "yes")
            raise ValueError(f"'{text}' is neither yes nor no")
        case "number":
            return _between(text)
        case "word" | "words":
            return _words(text, sort, allowed)


def _between(text: str) -> Between:
    if found := re.fullmatch(rf"({_NUMBER})\.\.({_NUMBER})", text):
        low, high = float(found[1]), float(found[2])
        if low > high:
            raise ValueError(f"'{text}' is upside down")
        return Between(low, high)
    if found := re.fullmatch(rf"(under|over|at least|at most) ({_NUMBER})", text):
        bound = float(found[2])
        match found[1]:
            case "under":
                return Between(-math.inf, bound, open_high=True)
            case "over":
                return Between(bound, math.inf, open_low=True)
            case "at least":
                return Between(bound, math.inf)
            case _:
                return Between(-math.inf, bound)
    raise ValueError(
        f"'{text}' is no bound: write 3..5, under 18, over 28, at least 2 or at most 3"
    )


def _words(text: str, sort: Sort, allowed: frozenset[str] | None) -> Condition:
    head, _, tail = text.partition(" of ")
    if head in ("any", "all") and tail:
        words = frozenset(word.strip() for word in tail.split(","))
    elif text.startswith("only "):
        head, words = "only", frozenset(word.strip() for word in text[5:].split(","))
    else:
        head, words = "any", frozenset([text])
    if sort == "word" and head in ("all", "only"):
        raise ValueError(f"'{text}': this fact is a single word, write any of")
    if allowed is not None and (strangers := sorted(words - allowed)):
        raise ValueError(f"'{strangers[0]}' is no word of this fact")
    match head:
        case "all":
            return AllOf(words)
        case "only":
            return Only(words)
        case _:
            return AnyOf(words)
