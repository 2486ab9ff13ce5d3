"""Facts that just meet a rule, made from its own conditions."""

from __future__ import annotations

import math
from dataclasses import replace

from bot.advice.conditions import AllOf, AnyOf, Between, Condition, Is, Known, Only
from bot.advice.facts import Facts, fact_sorts
from bot.advice.rulebook import Rule


def example(rule: Rule) -> Facts:
    """Facts on which the rule speaks, and of which every other fact is unknown."""
    return replace(Facts(), **{test.fact: meeting(test.fact, test.condition) for test in rule.when})


def near_misses(rule: Rule) -> list[tuple[str, Facts]]:
    """The same facts with one of them no longer as the rule wants it, one after the other."""
    found = []
    for test in rule.when:
        value = missing(test.fact, test.condition)
        found.append((test.fact, replace(example(rule), **{test.fact: value})))
    return found


def meeting(fact: str, condition: Condition) -> object:
    match condition:
        case Between(low, high):
            value = _inside(low, high)
            return int(value) if fact == "feeds_today" else value
        case AnyOf(words) | AllOf(words) | Only(words):
            if fact_sorts()[fact].sort == "word":
                return min(words)
            return (min(words),) if isinstance(condition, AnyOf) else tuple(sorted(words))
        case Is(wanted):
            return wanted
        case Known(wanted):
            return _something(fact) if wanted else None


def missing(fact: str, condition: Condition) -> object:
    match condition:
        case Between(low, high):
            return high + 1 if math.isfinite(high) else low - 1
        case AnyOf(words) | AllOf(words) | Only(words):
            others = sorted((fact_sorts()[fact].words or frozenset({"something-else"})) - words)
            other = others[0] if others else None
            return other if fact_sorts()[fact].sort == "word" or other is None else (other,)
        case Is(wanted):
            return not wanted
        case Known(wanted):
            return None if wanted else _something(fact)


def _inside(low: float, high: float) -> float:
    if math.isinf(low):
        return high - 0.01
    return low + 0.01 if math.isinf(high) else (low + high) / 2


def _something(fact: str) -> object:
    sort = fact_sorts()[fact]
    word = min(sort.words) if sort.words else "something"
    return {"number": 5.0, "yes-no": True, "word": word, "words": (word,)}[sort.sort]
