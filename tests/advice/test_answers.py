"""The right answer to a question: at least nine in ten at first place, on questions of our own."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime
from pathlib import Path
from typing import get_args

import pytest

from bot.advice.answers import answers, load, ranking, terms
from bot.advice.book import rulebook
from bot.advice.conditions import AnyOf
from bot.advice.facts import Facts
from bot.culture.vocabulary import Ask
from bot.errors import HandbookError
from bot.reading.reader import read
from bot.reading.topics import topics

QUESTIONS = Path(__file__).parent / "questions.toml"
AT = datetime(2026, 3, 20, 9, 0, tzinfo=UTC)


def labelled() -> list[tuple[str, str]]:
    table = tomllib.loads(QUESTIONS.read_text(encoding="utf-8"))
    return [
        (text, want) for part in table.values() for want, texts in part.items() for text in texts
    ]


def first(text: str) -> str | None:
    asks = read(text, at=AT, units="metric").asks
    facts = Facts(
        has_jar=True, mixed=True, day=19, age=19, asks=asks, topics=topics(text), is_question=True
    )
    found = ranking(text, facts)
    return found[0].answer.id if found else None


def test_there_are_enough_questions_and_every_one_has_an_answer_in_the_handbook() -> None:
    ids = {answer.id for answer in answers()}
    questions = labelled()

    assert len(questions) >= 150
    assert {want for _, want in questions} <= ids


def test_nine_in_ten_questions_find_their_answer_at_first_place() -> None:
    questions = labelled()

    misses = [(text, want, first(text)) for text, want in questions if first(text) != want]

    assert 1 - len(misses) / len(questions) >= 0.9, misses


@pytest.mark.parametrize("answer", answers(), ids=lambda answer: answer.id)
def test_an_answer_is_found_by_its_own_questions(answer) -> None:  # type: ignore[no-untyped-def]
    """Not by all of them: some answers share a question and differ by the facts."""
    found = [
        answer.id in [one.answer.id for one in ranking(text, Facts(topics=topics(text)))[:5]]
        for text in answer.questions
    ]

    assert any(found) or answer.rule.when


def test_slips_of_the_thumb_are_forgiven() -> None:
    assert first("is chlorinted watter a problem") == "chlorine"
    assert first("what falls under holliday feeding, going on hoilday for a week") == "travel"


def test_words_without_a_subject_do_not_count() -> None:
    assert terms("can i do that please") == ()


def test_a_wrong_ask_or_topic_stops_the_load_and_names_the_near_word() -> None:
    text = '[x]\nquestions = ["a"]\nasks = ["watter"]'
    with pytest.raises(HandbookError, match="did you mean 'water'"):
        load({"x.toml": text})
    with pytest.raises(HandbookError, match="did you mean 'sugar'"):
        load({"x.toml": '[x]\nquestions = ["a"]\ntopics = ["suger"]'})


def test_every_ask_of_the_contract_has_answers_or_rules() -> None:
    asked = {ask for answer in answers() for ask in answer.asks}
    asked |= {
        word
        for rule in rulebook().rules
        for test in rule.when
        if test.fact == "asks" and isinstance(test.condition, AnyOf)
        for word in test.condition.words
    }

    assert set(get_args(Ask)) <= asked
