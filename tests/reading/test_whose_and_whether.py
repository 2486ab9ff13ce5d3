"""Names, corrections, doubts and what stays unread."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from reads import reads

from bot.culture.vocabulary import Fed

BOTH = ("Bubbles", "Rye Guy")


def test_a_name_that_is_a_word_of_the_lexicon_is_still_a_name() -> None:
    found = reads("Bubbles is flat", cultures=("Bubbles",))

    assert found.about == "Bubbles"
    assert found.signs.bubbles is None
    assert found.signs.surface == "flat"


@pytest.mark.parametrize("text", ["lots of bubbles", "Bubbles everywhere", "tiny bubbles on top"])
def test_bubbles_are_bubbles_where_they_cannot_be_a_name(text: str) -> None:
    found = reads(text, cultures=("Bubbles",))

    assert found.about is None
    assert found.signs.bubbles is not None


def test_each_culture_gets_what_is_said_of_it() -> None:
    found = reads("Bubbles doubled in 6 hours but Rye Guy smells of vinegar", cultures=BOTH)

    assert found.about == "Bubbles"
    assert found.signs.rise is not None and found.signs.rise.ratio == 2.0
    assert found.signs.smell == ()
    assert found.others[0].name == "Rye Guy"
    assert found.others[0].signs.smell == ("sour",)


def test_two_names_before_one_verb_share_it() -> None:
    found = reads("fed Bubbles and Rye Guy 1:1:1", cultures=BOTH)

    assert found.acts == (Fed(ratio=(1.0, 1.0, 1.0)),)
    assert found.others[0].acts == found.acts


@pytest.mark.parametrize(
    "text",
    [
        "no, 24 not 34",
        "sorry it was rye not spelt",
        "I said it doubled, it didnt",
        "scratch that, fed at 9",
        "correction: 60g",
    ],
)
def test_a_correction_is_known_as_one(text: str) -> None:
    assert reads(text).corrects


@pytest.mark.parametrize("text", ["sorry, forgot to feed it", "not a bubble", "doubled, not bad"])
def test_an_apology_or_a_denial_corrects_nothing(text: str) -> None:
    assert not reads(text).corrects


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        ("is that mould?", "mould"),
        ("might be pink, hard to say", "streak"),
        ("it stinks", "rotten"),
        ("21 F in the kitchen", "temperature"),
        ("its 300C in here", "temperature"),
        ("an inch over the band", "rise"),
    ],
)
def test_real_doubt_is_said_so_that_one_question_can_be_asked(text: str, doubt: str) -> None:
    assert doubt in reads(text).doubts


@pytest.mark.parametrize("text", ["what does mould look like", "no mould at all", "smells fine"])
def test_no_doubt_is_raised_where_there_is_none(text: str) -> None:
    assert reads(text).doubts == ()


def test_words_that_mean_nothing_are_returned_as_typed() -> None:
    assert reads("Blorp wug doubled").unread == ("Blorp wug",)


def test_another_language_is_left_unread_altogether() -> None:
    text = "moja zakwaska nie rośnie, co robić"
    found = reads(text)

    assert found.unread == (text,)
    assert found.signs.is_empty and not found.acts and not found.asks


def test_spans_show_which_words_were_taken_for_what() -> None:
    text = "It doubled, smells like pear drops"
    found = reads(text)

    assert {(text[one.start : one.end], one.slot) for one in found.spans} == {
        ("doubled", "rise"),
        ("pear drops", "smell"),
    }


def test_an_hour_that_the_clocks_skipped_is_moved_on_by_the_gap() -> None:
    # 29 March 2026, Europe/Oslo: the hour from 02:00 to 03:00 does not exist.
    morning = datetime(2026, 3, 29, 9, 0, tzinfo=ZoneInfo("Europe/Oslo"))
    found = reads("fed at 2:30 am", at=morning)

    assert isinstance(found.acts[0], Fed)
    assert found.acts[0].at == datetime(2026, 3, 29, 3, 30, tzinfo=ZoneInfo("Europe/Oslo"))


def test_hours_ago_are_counted_across_the_change_of_clocks() -> None:
    morning = datetime(2026, 3, 29, 9, 0, tzinfo=ZoneInfo("Europe/Oslo"))
    found = reads("fed 8 hours ago", at=morning)

    assert isinstance(found.acts[0], Fed) and found.acts[0].at is not None
    assert found.acts[0].at.isoformat() == "2026-03-29T00:00:00+01:00"


@pytest.mark.parametrize(
    "text", ["oh no theres mould on it", "no there is mould on it", "oh no mould"]
)
def test_a_cry_or_an_answer_denies_no_mould(text: str) -> None:
    assert reads(text).signs.mould is True


@pytest.mark.parametrize("text", ["oh no my jar has pink streaks", "oh no pink streaks"])
def test_a_cry_denies_no_streak(text: str) -> None:
    assert reads(text).signs.streak == "pink"


@pytest.mark.parametrize("text", ["no mould", "no its not mould", "no there is no mould on it", "oh, no mould"])  # fmt: skip
def test_no_mould_is_no_mould(text: str) -> None:
    assert reads(text).signs.mould is False
