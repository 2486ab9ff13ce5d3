"""The rule book: what the loader refuses, and that every rule in it can speak and can keep quiet."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from bot.advice.answers import answers
from bot.advice.book import rulebook
from bot.advice.evidence import reasons, wordings
from bot.advice.facts import Facts, fact_sorts
from bot.advice.judge import applies, judge
from bot.advice.review import faults
from bot.advice.rulebook import Rule, load
from bot.commands.rules import run
from bot.errors import HandbookError
from bot.reading.topics import topic_ids
from bot.voice.slots import SLOTS
from bot.voice.why import sources
from tests.advice.examples import example, near_misses

PAGE = Path(__file__).parents[2] / "deploy" / "docs" / "rules.md"
EVERYTHING = (*rulebook().rules, *(answer.rule for answer in answers()))

RULE = """
[quiet]
about = "a"
subject = "quiet"
when = { day = "3..5", bubbles = "none" }
verdict = "on-track"
strength = 5
say = "b"
next = "c"
look = "4 h"
why = "d"
sources = ["CUSTOM"]
limits = "e"
review = { by = "me", on = 2026-03-01 }
"""


def refused(text: str, name: str = "quiet.toml") -> str:
    with pytest.raises(HandbookError) as caught:
        load({name: text})
    return str(caught.value)


def test_a_sound_rule_is_read_whole() -> None:
    (rule,) = load({"quiet.toml": RULE}).everyday

    assert (rule.id, rule.verdict, rule.look, rule.look_hours) == ("quiet", "on-track", "hours", 4)


@pytest.mark.parametrize(
    ("right", "wrong", "says"),
    [
        ("day =", "dya =", "no fact is called 'dya'; did you mean 'day'"),
        ('bubbles = "none"', 'bubbles = "nine"', "did you mean 'none'"),
        ('day = "3..5"', 'day = "soonish"', "no bound"),
        ('verdict = "on-track"', 'verdict = "on track"', "did you mean 'on-track'"),
        ("strength = 5", "strength = 50", "strength from 1 to 9"),
        ('look = "4 h"', 'look = "later"', "look: 'later'"),
        ('why = "d"', "", "wants why"),
        ('limits = "e"', 'limitz = "e"', "wants limits"),
        ("strength = 5", 'strength = 5\nmood = "x"', "does not know the field 'mood'"),
        ('when = { day = "3..5", bubbles = "none" }', "", "has no when"),
        (
            'sources = ["CUSTOM"]',
            'sources = ["CUSTOM"]\ninstead_of = ["quite"]',
            "no rule is called",
        ),
    ],
)
def test_a_mistake_stops_the_load_and_names_file_rule_and_near_word(
    right: str, wrong: str, says: str
) -> None:
    assert right in RULE

    message = refused(RULE.replace(right, wrong, 1))

    assert says in message
    assert "quiet" in message


def test_broken_toml_names_the_line() -> None:
    assert "line 3" in refused('[a]\nabout = "x"\nsay = later\n')


def test_two_rules_of_one_name_are_refused() -> None:
    assert "two rules" in "".join(refused_many({"a.toml": RULE, "b.toml": RULE}) for _ in range(1))


def refused_many(texts: dict[str, str]) -> str:
    with pytest.raises(HandbookError) as caught:
        load(texts)
    return str(caught.value)


def test_a_rule_that_can_never_speak_is_found() -> None:
    text = RULE.replace("verdict =", 'unless = { day = "1..9" }\nverdict =', 1)

    assert any("can never speak" in fault for fault in faults(load({"quiet.toml": text})))


def test_two_rules_that_disagree_on_the_same_facts_are_found() -> None:
    other = RULE.replace("[quiet]", "[loud]").replace("on-track", "adjust").replace("3..5", "4..6")

    found = faults(load({"a.toml": RULE, "b.toml": other}))

    assert any("[quiet] and [loud] disagree" in fault for fault in found)


def test_a_sign_that_no_rule_looks_at_is_found() -> None:
    assert "no rule looks at mould" in faults(load({"quiet.toml": RULE}))


def test_the_handbooks_own_book_is_sound() -> None:
    assert faults(rulebook()) == ()


@pytest.mark.parametrize("rule", EVERYTHING, ids=lambda rule: rule.id)
def test_a_rule_speaks_on_its_facts_and_keeps_quiet_beside_them(rule: Rule) -> None:
    facts = example(rule)

    assert applies(rule, facts) == "yes"
    for fact, other in near_misses(rule):
        assert applies(rule, other) != "yes", fact


@pytest.mark.parametrize("rule", rulebook().rules, ids=lambda rule: rule.id)
def test_a_rule_is_heard_among_all_the_others_or_one_that_is_named_stands_in_for_it(
    rule: Rule,
) -> None:
    layer = rulebook().safety if rule.layer == "safety" else rulebook().everyday

    speaking = judge(layer, example(rule)).speaking

    silencers = [other for other in speaking if rule.id in other.instead_of]
    assert rule in speaking or silencers


@pytest.mark.parametrize("rule", EVERYTHING, ids=lambda rule: rule.id)
def test_a_rules_sources_topics_and_slots_exist(rule: Rule) -> None:
    assert set(rule.sources) <= set(sources())
    for test in (*rule.when, *rule.unless):
        if test.fact == "topics":
            assert set(re.findall(r"[a-z][a-z-]+", test.written)) - {"any", "of", "all"} <= set(
                topic_ids()
            )
    texts = (*rule.say, rule.next, rule.aside or "", rule.answer or "", rule.question or "")
    slots = set(re.findall(r"\{(\w+)\}", " ".join(texts)))
    assert {slot for slot in slots if not re.fullmatch(r"c\d+(_\d+)?", slot)} <= SLOTS


def test_every_source_is_cited_by_some_rule_or_answer() -> None:
    cited = {key for rule in EVERYTHING for key in rule.sources}

    assert set(sources()) - cited == set()


def test_every_fact_has_words_for_why_and_every_reason_is_said_once() -> None:
    assert set(wordings()) <= set(fact_sorts())
    rule = rulebook().rule("lull")
    facts = Facts(quiet=True, age=4.0, day=4.0)

    found = reasons((rule, rule), facts, "metric")

    assert len(found) == len(set(found)) == 2


def test_the_review_page_is_not_stale() -> None:
    """When it is: ``jarside rules > deploy/docs/rules.md``."""
    fresh = io.StringIO()

    assert run(fresh) == 0
    assert PAGE.read_text(encoding="utf-8") == fresh.getvalue()
