"""What a baker cannot see by reading: rules that can never speak, that clash, or that are missing.

The loader refuses a book with any of these faults.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations
from typing import get_args

from bot.advice.conditions import AnyOf, Between, Condition, Is, Known
from bot.advice.facts import fact_sorts
from bot.advice.rulebook import Rule, Rulebook, Test
from bot.culture.vocabulary import (
    Bubbles,
    LiquidColour,
    LiquidWhere,
    Smell,
    Streak,
    Surface,
    Texture,
    Verdict,
)

_WORDS: dict[str, tuple[str, ...]] = {
    "bubbles": get_args(Bubbles),
    "surface": get_args(Surface),
    "smell": get_args(Smell),
    "liquid_colour": get_args(LiquidColour),
    "liquid_where": get_args(LiquidWhere),
    "streak": get_args(Streak),
    "texture": get_args(Texture),
}
_PLAIN_SIGNS = ("rise", "hours", "liquid", "mould", "film", "crust", "floats", "pests", "warmth_c")
_BY_OTHER_MEANS = {
    ("bubbles", "none"),
    ("bubbles", "few"),
    ("surface", "flat"),
    ("liquid_colour", "clear"),
    ("liquid_colour", "amber"),
    ("liquid_colour", "grey"),
    ("liquid_where", "top"),
}
"""Words that no rule names: the rule for their whole sign, or the fact ``quiet``, covers them."""


def faults(book: Rulebook) -> tuple[str, ...]:
    """Every fault of the book, in plain sentences; empty for a sound one."""
    return (
        *_unreachable(book.rules),
        *_clashes(book.everyday),
        *_clashes(book.safety),
        *_uncovered(book),
    )


def _unreachable(rules: Iterable[Rule]) -> Iterator[str]:
    for rule in rules:
        wanted = {test.fact: test.condition for test in rule.when}
        for test in rule.unless:
            if test.fact in wanted and implies(wanted[test.fact], test.condition):
                yield f"[{rule.id}] can never speak: unless {test.fact} = {test.written}"


def _clashes(rules: tuple[Rule, ...]) -> Iterator[str]:
    """Two rules of one strength on one subject that look at the same facts and disagree."""
    for one, other in combinations(rules, 2):
        if one.strength != other.strength or one.verdict == other.verdict:
            continue
        if one.subject != other.subject or one.id in other.instead_of or other.id in one.instead_of:
            continue
        theirs = {test.fact: test for test in other.when}
        if set(theirs) == {test.fact for test in one.when} and all(
            may_both_hold(test.condition, theirs[test.fact].condition) for test in one.when
        ):
            if _kept_apart(one, other) or _kept_apart(other, one):
                continue
            yield f"[{one.id}] and [{other.id}] disagree on the same facts"


def _kept_apart(one: Rule, other: Rule) -> bool:
    """Whether an ``unless`` of the one silences it wherever the other speaks."""
    wanted = {test.fact: test.condition for test in other.when}
    return any(
        test.fact in wanted and implies(wanted[test.fact], test.condition) for test in one.unless
    )


def _uncovered(book: Rulebook) -> Iterator[str]:
    asked: dict[str, list[Test]] = {name: [] for name in fact_sorts()}
    for rule in book.rules:
        for test in rule.when:
            asked[test.fact].append(test)
    for sign in _PLAIN_SIGNS:
        if not asked[sign]:
            yield f"no rule looks at {sign}"
    for sign, words in _WORDS.items():
        named = {
            word
            for test in asked[sign]
            if isinstance(test.condition, AnyOf)
            for word in test.condition.words
        }
        for word in words:
            if word not in named and (sign, word) not in _BY_OTHER_MEANS:
                yield f"no rule looks at {sign} {word}"
    given = {rule.verdict for rule in book.rules}
    for verdict in get_args(Verdict):
        if verdict not in given:
            yield f"no rule concludes {verdict}"


def implies(one: Condition, other: Condition) -> bool:
    """Whether whatever meets the one is bound to meet the other."""
    match one, other:
        case Between(), Between():
            lower = one.low > other.low or (
                one.low == other.low and (one.open_low or not other.open_low)
            )
            higher = one.high < other.high or (
                one.high == other.high and (one.open_high or not other.open_high)
            )
            return lower and higher
        case AnyOf(), AnyOf():
            return one.words <= other.words
        case Is(), Is():
            return one.wanted is other.wanted
        case Known(), Known():
            return one.wanted is other.wanted
        case _, Known(wanted=True):
            return not isinstance(one, Known)
        case _:
            return False


def may_both_hold(one: Condition, other: Condition) -> bool:
    """Whether one value can meet both; two lists of smells always can."""
    match one, other:
        case Between(), Between():
            return one.overlaps(other)
        case AnyOf(), AnyOf():
            return one.overlaps(other)
        case Is(), Is():
            return one.overlaps(other)
        case Known(wanted=False), _:
            return isinstance(other, Known) and not other.wanted
        case _, Known(wanted=False):
            return False
        case _:
            return True
