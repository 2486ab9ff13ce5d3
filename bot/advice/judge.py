"""Who speaks: which rules hold, which of them leads, which question would settle the rest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

from bot.advice.conditions import Truth
from bot.advice.facts import Facts, value
from bot.advice.rulebook import Rule, Test
from bot.culture.vocabulary import Verdict

Ladder: TypeAlias = tuple[Verdict | None, ...]

LADDER: Ladder = ("discard", "ask", "adjust", "ready", "on-track", None)
"""The gravest first: danger, a missing fact that could be one, a change, ready, carry on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """``speaking``: rules that hold, the lead first. ``waiting``: held back by unknowns only."""

    speaking: tuple[Rule, ...]
    waiting: tuple[Rule, ...]

    @property
    def lead(self) -> Rule | None:
        return self.speaking[0] if self.speaking else None


def judge(rules: Iterable[Rule], facts: Facts) -> Judgement:
    """Every rule held against the facts. The order of the files makes no difference."""
    speaking: list[Rule] = []
    waiting: list[Rule] = []
    for rule in rules:
        match applies(rule, facts):
            case "yes":
                speaking.append(rule)
            case "unknown":
                waiting.append(rule)
            case "no":
                pass
    silenced = {other for rule in speaking for other in rule.instead_of}
    speaking = [rule for rule in speaking if rule.id not in silenced]
    return Judgement(
        speaking=tuple(sorted(speaking, key=rank)), waiting=tuple(sorted(waiting, key=rank))
    )


def applies(rule: Rule, facts: Facts) -> Truth:
    """Whether a rule holds; unknown when only unknown facts of its ``when`` hold it back."""
    held = [holds(test, facts) for test in rule.when]
    if "no" in held or any(holds(test, facts) == "yes" for test in rule.unless):
        return "no"
    return "unknown" if "unknown" in held else "yes"


def holds(test: Test, facts: Facts) -> Truth:
    return test.condition.holds(value(facts, test.fact))


def rank(rule: Rule) -> tuple[int, int, str]:
    """Graver verdicts first, then stronger rules, then by name so that nothing is left to chance."""
    return (gravity(rule.verdict), -rule.strength, rule.id)


def gravity(verdict: Verdict | None) -> int:
    """0 for the gravest."""
    return LADDER.index(verdict)
