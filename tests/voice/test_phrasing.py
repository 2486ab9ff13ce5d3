"""Advice in words: the direct answer first, one next step, a time in the person's own clock."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bot.advice.answers import answers
from bot.advice.book import rulebook
from bot.advice.case import Advice, Case
from bot.advice.facts import Facts
from bot.advice.rulebook import Rule
from bot.culture.state import Conclusion, Culture, Dossier, Person
from bot.reading.reading import Reading
from bot.voice.phrasing import WHY, reply
from bot.voice.why import sources, why
from tests.voice.test_quantities import NOW

EVERYTHING = (*rulebook().rules, *(answer.rule for answer in answers()))
LONGEST = 900


def case(name: str = "Biscuit", *, units: str = "metric", jar: bool = True) -> Case:
    culture = Culture(
        key="c1",
        name=name,
        flour="white",
        method="full",
        began_at=NOW,
        started_at=NOW.replace(day=1),
    )
    person = Person(units=units, kitchen_c=21.0)  # type: ignore[arg-type]
    dossier = Dossier(person_key="p", person=person, cultures=(culture,) if jar else ())
    return Case(
        dossier=dossier, culture=culture if jar else None, reading=Reading(), at=NOW, text="a cup"
    )


def spoken(rule: Rule, told: Case, **facts: object) -> str:
    known = Facts(has_jar=told.culture is not None, day=4, warmth_c=21, **facts)  # type: ignore[arg-type]
    advice = Advice(verdict=rule.verdict, rules=(rule.id,), reasons=(), facts=known, lead=rule)
    return reply(told, advice).text


@pytest.mark.parametrize("rule", EVERYTHING, ids=lambda rule: rule.id)
def test_every_rule_can_be_said_to_anybody(rule: Rule) -> None:
    for told in (case(), case(units="us"), case(jar=False)):
        for variant in range(len(rule.say)):
            text = spoken(replace(rule, say=(rule.say[variant],)), told)
            assert "{" not in text and "}" not in text
            assert "  " not in text and ".." not in text
            assert len(text) <= LONGEST


def test_the_question_that_was_asked_is_answered_first() -> None:
    lull = rulebook().rule("lull")

    assert spoken(lull, case(), asks=("normal",)).startswith("Yes, th")
    assert (
        "alive" in spoken(lull, case(), asks=("alive",))[:60]
        or "died" in spoken(lull, case(), asks=("alive",))[:60]
    )


def test_a_name_with_markup_in_it_stays_plain_text() -> None:
    told = case(name="<b>*Bob*</b> {day}")

    text = spoken(rulebook().rule("ready"), told)

    assert "<b>*Bob*</b> {day}" in text


def test_the_wording_varies_from_day_to_day() -> None:
    lull = rulebook().rule("lull")
    today = case()
    tomorrow = replace(today, at=NOW.replace(day=5))

    assert spoken(lull, today).split("\n")[0] != spoken(lull, tomorrow).split("\n")[0]


def test_when_to_look_again_is_told_by_the_clock() -> None:
    assert "14:00" in spoken(rulebook().rule("good-rise"), case())
    assert "2:00 PM" in spoken(rulebook().rule("good-rise"), case(units="us"))


def test_a_reply_with_a_verdict_offers_its_reasons() -> None:
    rule = rulebook().rule("lull")
    advice = Advice(verdict="on-track", rules=("lull",), reasons=(), facts=Facts(), lead=rule)

    assert [choice.key for choice in reply(case(), advice).choices] == [WHY]


def test_why_gives_facts_rule_and_source_in_three_lines() -> None:
    said = Conclusion(at=NOW, verdict="on-track", rules=("lull",), facts=("day 4",), number=3)

    lines = why(said).text.splitlines()

    assert len(lines) == 3
    assert "day 4" in lines[0]
    assert lines[1] == rulebook().rule("lull").why
    assert sources()["WINK"] in lines[2]


def test_why_without_anything_said_is_kind() -> None:
    assert "nothing to explain" in why(None).text
    gone = Conclusion(at=NOW, verdict=None, rules=("long-gone",), facts=(), number=3)
    assert "nothing to explain" in why(gone).text
