"""Bakes planned in words."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.reading.bakes import bake_wish
from tests.coach.conversation import Chat, keeper

THURSDAY = datetime.fromisoformat("2026-07-30T20:10:00+02:00")


@pytest.mark.parametrize(
    ("text", "ripe_at"),
    [
        ("want to mix dough sunday 5 pm (17:00)", "2026-08-02T17:00:00+02:00"),
        ("I want to bake on Saturday morning", "2026-08-01T09:00:00+02:00"),
        ("dough at 9, need 200 g", "2026-07-31T09:00:00+02:00"),
        ("need 200 g levain by tomorrow noon", "2026-07-31T12:00:00+02:00"),
        ("bread baking fri evening around 6, when do i feed", "2026-07-31T18:00:00+02:00"),
        ("levain ready for 7:30 tomorrow morning please, 150g", "2026-07-31T07:30:00+02:00"),
    ],
)
def test_a_bake_has_the_moment_that_was_named(text: str, ripe_at: str) -> None:
    wish = bake_wish(text, THURSDAY)

    assert wish is not None and wish.ripe_at == datetime.fromisoformat(ripe_at)


@pytest.mark.parametrize(
    "text",
    [
        "doubled in 5 hours",
        "can i bake tomorrow?",
        "i want to bake",
        "I baked at 230C and it came out flat",
        "the bread rose beautifully in the oven",
        "today only went up by half in 8 hrs. bake tomorrow anyway?",
        "fed it at 8, 50g each",
        "",
    ],
)
def test_a_report_or_a_general_question_is_no_plan(text: str) -> None:
    assert bake_wish(text, THURSDAY) is None


@given(st.text(max_size=700))
def test_any_text_is_read_without_an_error(text: str) -> None:
    wish = bake_wish(text, THURSDAY)

    assert wish is None or wish.ripe_at is None or wish.in_hours is None
    assert wish is None or wish.ripe_at or wish.in_hours or wish.levain_g


def mature() -> Chat:
    chat = keeper("2026-07-01T08:00:00+02:00", zone="Europe/Berlin", kitchen_c=24.0)
    chat.now = THURSDAY
    return chat


def test_a_plan_names_when_to_mix_what_and_when_it_is_ripe() -> None:
    (plan,) = mature().says("want to mix dough sunday 5 pm, need 200 g")

    assert plan.heading is not None and "Sunday about 17:00" in plan.heading
    assert "g of starter" in plan.text and "g of flour" in plan.text
    assert plan.verdict is None


def test_what_the_keeper_says_of_their_culture_makes_it_slower_or_quicker() -> None:
    quick = mature().says("it peaks in 4 hours at 1:1:1. i want 12 h so i can sleep")
    slow = mature().says("it peaks in 9 hours at 1:1:1. i want 12 h so i can sleep")

    ratio_of = [float(said[0].text.split("1:")[1].split(":")[0]) for said in (quick, slow)]
    assert ratio_of[0] > ratio_of[1]


def test_a_plan_that_cannot_be_met_says_why_and_when_instead() -> None:
    (answer,) = mature().says("need 200 g levain ripe for dough tonight at 21:00")

    assert "too soon" in answer.text
    assert "nearest" in answer.text


def test_a_moment_that_has_passed_is_asked_again() -> None:
    chat = mature()

    (answer,) = chat.says("I want to bake bread today at 9 am")

    assert "passed" in answer.text


def test_a_jar_in_its_first_week_gets_no_plan() -> None:
    chat = keeper("2026-07-28T08:00:00+02:00", zone="Europe/Berlin")

    (answer,) = chat.says("I want to bake bread on Saturday at 9", after=timedelta(days=2))

    assert "ripe" not in answer.text.lower()


def test_a_danger_in_the_same_message_comes_first() -> None:
    (answer,) = mature().says("pink streaks on it but i want to bake bread on sunday at 9")

    assert answer.verdict == "discard"


def test_so_many_grams_out_of_what_is_there_come_to_that_and_a_spoonful() -> None:
    (answer,) = mature().says(
        "recipe wants 200g active starter. got 40 g in the jar. how much flour and water?"
    )

    assert "40 g of starter, 90 g of flour and 90 g of water" in answer.text
    assert "220 g" in answer.text


def test_a_starter_in_the_fridge_is_taken_out_first() -> None:
    (plan,) = mature().says("dough at 9 on saturday, need 100 g. its in the fridge, when do i feed")

    assert "take it out a day before" in plan.text
