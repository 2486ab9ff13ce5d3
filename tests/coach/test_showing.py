"""Asking to see the week."""

from __future__ import annotations

import pytest

from tests.coach.conversation import Chat, keeper

MIXED = "2026-03-02T09:00:00+01:00"


@pytest.mark.parametrize("text", ["show me the week", "/week", "Chart please!", "/chart"])
def test_the_week_is_shown_as_a_picture_with_its_words(text: str) -> None:
    chat = keeper(MIXED)

    (message,) = chat.says(text)

    assert message.chart is not None
    assert not message.chart.dark
    assert "Biscuit. Days 1 to 7" in message.plain
    assert "today" in message.text


@pytest.mark.parametrize("text", ["/week dark", "dark chart", "/chart DARK"])
def test_a_picture_for_the_night_is_dark(text: str) -> None:
    (message,) = keeper(MIXED).says(text)

    assert message.chart is not None
    assert message.chart.dark


def test_every_jar_has_a_picture_unless_one_is_named() -> None:
    chat = keeper(MIXED, jars={"Ember": MIXED, "Moss": MIXED})

    assert [message.chart.title for message in chat.says("/week") if message.chart] == [
        "Ember", "Moss",
    ]  # fmt: skip
    assert [m.chart.title for m in chat.says("/week moss") if m.chart] == ["Moss"]
    assert [m.chart.title for m in chat.says("show me the chart of Ember") if m.chart] == ["Ember"]


def test_a_name_that_no_jar_bears_is_answered_with_those_there_are() -> None:
    (message,) = keeper(MIXED).says("/week Moss")

    assert message.chart is None
    assert "Moss" in message.text and "Biscuit" in message.text


def test_without_a_jar_there_is_no_week_but_a_beginning_is_offered() -> None:
    (message,) = Chat(MIXED).says("/week")

    assert message.chart is None
    assert [choice.key for choice in message.choices] == ["begin"]


def test_the_picture_of_a_jar_to_be_thrown_away_says_so() -> None:
    chat = keeper(MIXED)
    chat.says("there is fuzzy green mould on it")

    (message,) = chat.says("show me the week")

    assert message.chart is not None
    assert "throw this one away" in message.text
    assert "Take care: mould on day 1." in message.chart.alt
