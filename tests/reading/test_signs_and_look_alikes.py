"""What is a danger in the jar, what only sounds like one, and how far a "no" reaches."""

from __future__ import annotations

import pytest
from reads import reads

from bot.culture.vocabulary import NO_SIGNS


@pytest.mark.parametrize(
    "text",
    [
        "purple elephants",
        "used the green scoop and the red spoon",
        "pink spatula, pink lid, pink everything",
        "my new jar has a blue ribbon round it",
        "jam got on the outside of the jar, thats the red bit",
        "my beard has more growth than this jar",
        "smells like bug spray",
        "tiny worms, no wait, its bran",
        "my first attempt went mouldy, this is the second one",
        "my last one went mouldy, how do i keep this one safe?",
        "it has red flecks from the rye bran",
    ],
)
def test_a_colour_or_a_pest_of_something_else_is_no_danger(text: str) -> None:
    signs = reads(text).signs

    assert not signs.mould
    assert not signs.streak
    assert not signs.pests


@pytest.mark.parametrize(
    ("text", "colour"),
    [
        ("pink yuck on top", "pink"),
        ("green ones on the lid but orange slime in the jar", "orange"),
        ("the dough is pink", "pink"),
        ("pink lid, and pink streaks inside", "pink"),
        ("red flecks, white flour only", "red"),
        ("no bubbles, pink or orange streaks on top", "pink"),
        ("the pink line in the dough", "pink"),
        ("pink streaks in my old one, can I use it?", "pink"),
    ],
)
def test_a_streak_is_one_whatever_stands_beside_it(text: str, colour: str) -> None:
    assert reads(text).signs.streak == colour


@pytest.mark.parametrize(
    "text", ["might be white fuzz? or flour?", "could be mould?", "grey patches, rye"]
)
def test_what_may_be_mould_is_taken_for_mould(text: str) -> None:
    assert reads(text).signs.mould is True


def test_a_question_about_mould_is_no_mould() -> None:
    assert reads("is there mould?").signs.mould is None


@pytest.mark.parametrize("text", ["no bubbles, mould or smell", "no bubbles, fuzz, or colour"])
def test_a_no_reaches_down_its_list(text: str) -> None:
    signs = reads(text).signs

    assert signs.bubbles == "none"
    assert signs.mould is False


def test_a_no_goes_on_behind_or() -> None:
    assert reads("didn't rise or bubble").signs.bubbles == "none"


def test_a_no_reaches_no_further_than_its_list() -> None:
    assert reads("no bubbles, mould everywhere").signs.mould is True


@pytest.mark.parametrize("text", ["the top is black", "black layer on top", "pink snoozle"])
def test_what_may_be_a_danger_and_may_not_is_a_doubt(text: str) -> None:
    found = reads(text)

    assert found.signs == NO_SIGNS
    assert found.doubts


@pytest.mark.parametrize(
    "text", ["double the water", "doubled the flour", "feeding it 3 times a day"]
)
def test_more_of_something_else_is_no_rise(text: str) -> None:
    assert reads(text).signs.rise is None


def test_a_habit_does_not_undo_what_was_measured() -> None:
    rise = reads("up by half, it never doubles").signs.rise

    assert rise is not None
    assert rise.ratio == 1.5


@pytest.mark.parametrize("text", ["the lid is bulging", "domed lid"])
def test_a_bulging_lid_is_no_dome(text: str) -> None:
    assert reads(text).signs.surface is None


def test_a_person_who_came_down_is_no_fallen_starter() -> None:
    assert reads("domed when i came down").signs.surface == "domed"
