"""The facts a rule used, in words: what "why?" shows."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from bot.advice.facts import Facts, fact_sorts, value
from bot.advice.rulebook import LANGUAGE, Rule, Test, near
from bot.culture.quantities import Range
from bot.culture.vocabulary import Units
from bot.errors import HandbookError

_UNTOLD = frozenset({"has_jar", "mixed", "told", "asks", "doubts", "is_question"})
"""Facts that steer, but would explain nothing to a reader."""


def reasons(rules: tuple[Rule, ...], facts: Facts, units: Units) -> tuple[str, ...]:
    """What these rules looked at and found, each fact once, in plain words.

    >>> reasons((), Facts(), "metric")
    ()
    """
    found: dict[str, str] = {}
    for rule in rules:
        for test in rule.when:
            words = _words(test, facts, units)
            if words is not None:
                found.setdefault(test.fact, words)
    return tuple(found.values())


def _words(test: Test, facts: Facts, units: Units) -> str | None:
    told = value(facts, test.fact)
    if test.fact in _UNTOLD or told in (None, (), "none"):
        return None
    spoken = wordings()[test.fact]
    if isinstance(told, bool):
        return spoken.get("yes" if told else "no")
    if isinstance(told, tuple):
        listed = [spoken.get(word, word) for word in told]
        return spoken["text"].format(value=", ".join(listed))
    if isinstance(told, str):
        return spoken["text"].format(value=spoken.get(told, told))
    return spoken["text"].format(value=_number(test.fact, told, units))


def _number(fact: str, told: float | Range, units: Units) -> str:
    middle = told.middle if isinstance(told, Range) else told
    if fact.endswith("_c"):
        return f"{middle:.0f} °C" if units == "metric" else f"{middle * 1.8 + 32:.0f} °F"
    return f"{middle:.1f}".removesuffix(".0")


@cache
def wordings() -> dict[str, dict[str, str]]:
    """How each fact is said. Raises HandbookError when one is missing or unknown."""
    text = (resources.files("bot.handbook") / LANGUAGE / "facts.toml").read_text(encoding="utf-8")
    table: dict[str, dict[str, str]] = tomllib.loads(text)
    facts = list(fact_sorts())
    for name in table:
        if name not in facts:
            raise HandbookError(f"facts.toml: no fact is called '{name}'{near(name, facts)}")
    if missing := [name for name in facts if name not in table and name not in _UNTOLD]:
        raise HandbookError(f"facts.toml: no words for {', '.join(missing)}")
    return table
