"""Who leads: the gravest verdict, then the stronger rule; file order makes no difference."""

from __future__ import annotations

import random

from bot.advice.book import rulebook
from bot.advice.consider import conclude
from bot.advice.facts import Facts
from bot.advice.judge import LADDER, gravity, judge
from bot.culture.quantities import Range

YOUNG = {"has_jar": True, "mixed": True, "told": True, "kitchen_c": 21.0, "warmth_c": 21.0}


def test_the_ladder_puts_danger_before_doubt_before_change_before_ready_before_calm() -> None:
    assert [gravity(verdict) for verdict in LADDER] == list(range(len(LADDER)))
    assert LADDER[0] == "discard"


def test_safety_is_not_softened_by_anything_beside_it() -> None:
    fine = Facts(**YOUNG, day=9, age=9, gate=True, rise=Range(2, 2), smell=("yeasty",))  # type: ignore[arg-type]
    spoilt = Facts(
        **YOUNG,
        day=9,
        age=9,
        gate=True,
        rise=Range(2, 2),
        smell=("yeasty",),
        mould=True,
        danger_now="mould",
    )  # type: ignore[arg-type]

    assert conclude(fine, "", "metric").verdict == "ready"
    assert conclude(spoilt, "", "metric").verdict == "discard"
    assert conclude(spoilt, "how do i feed it", "metric").rules == ("mould",)


def test_the_order_of_the_rules_makes_no_difference() -> None:
    rules = list(rulebook().everyday)
    facts = Facts(**YOUNG, day=5, age=5, quiet=True, bubbles="none", smell=("sour",))  # type: ignore[arg-type]
    expected = judge(rules, facts).speaking

    for seed in range(5):
        random.Random(seed).shuffle(rules)
        assert judge(rules, facts).speaking == expected


def test_one_missing_fact_that_would_matter_is_asked_for() -> None:
    facts = Facts(
        has_jar=True,
        mixed=True,
        told=True,
        day=9,
        age=9,
        rise=Range(1.3, 1.3),
        flour="white",
        gate=False,
    )

    advice = conclude(facts, "", "metric")

    assert advice.question is not None and "warm" in advice.question


def test_a_message_has_one_lead_and_at_most_two_asides() -> None:
    facts = Facts(
        **YOUNG, day=8, age=8, lively=True, bubbles="many", surface="domed", floats=True, gate=False,  # type: ignore[arg-type]
        smell=("sour", "yeasty"), texture=("spongy",), rise=Range(1.6, 1.6), heat_told=True,
    )  # fmt: skip

    advice = conclude(facts, "", "metric")

    assert advice.lead is not None
    assert len(advice.rules) <= 3
