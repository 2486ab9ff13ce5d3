"""Clock times as people say them, and the day they belong to."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.culture.vocabulary import Fed
from bot.reading.reader import read

OSLO = ZoneInfo("Europe/Oslo")
MONDAY_EVENING = datetime(2026, 5, 4, 21, 0, tzinfo=OSLO)
WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")  # fmt: skip


def fed_at(text: str, at: datetime = MONDAY_EVENING) -> datetime | None:
    feeds = [act for act in read(text, at=at, units="metric").acts if isinstance(act, Fed)]
    assert len(feeds) == 1
    return feeds[0].at


def told(day: int, hour: int, minute: int = 0, month: int = 5) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=OSLO)


@pytest.mark.parametrize(
    ("text", "when"),
    [
        ("fed at half eleven this morning", told(4, 11, 30)),
        ("fed half six", told(4, 18, 30)),
        ("fed at quarter to nine", told(4, 20, 45)),
        ("fed quarter past seven this morning", told(4, 7, 15)),
        ("fed at ten thirty am", told(4, 10, 30)),
        ("fed at seven oh five this morning", told(4, 7, 5)),
        ("fed 7:30p yesterday", told(3, 19, 30)),
        ("fed 6a", told(4, 6)),
        ("fed at 20h", told(4, 20)),
        ("fed yesterday 22h", told(3, 22)),
        ("fed at 730 this morning", told(4, 7, 30)),
        ("fed 8 oclock this morning", told(4, 8)),
        ("fed ten minutes before midnight", told(3, 23, 50)),
        ("fed twenty five to eight", told(4, 19, 35)),
        ("fed at half twelve last night", told(4, 0, 30)),
    ],
)
def test_an_hour_is_heard_however_it_is_said(text: str, when: datetime) -> None:
    assert fed_at(text) == when


@pytest.mark.parametrize(
    ("text", "when"),
    [
        ("fed sun 10am", told(3, 10)),
        ("fed sat. 6pm", told(2, 18)),
        ("fed on 3 May at 8pm", told(3, 20)),
        ("fed april 29th at 7am", told(29, 7, month=4)),
        ("fed on the 1st at 9am", told(1, 9)),
        ("fed 2/5 at 9am", told(2, 9)),
        ("fed 3 days ago at 8am", told(1, 8)),
        ("fed mon 11pm", told(27, 23, month=4)),
        ("yesterday, fed at 9pm", told(3, 21)),
    ],
)
def test_a_day_is_the_latest_one_of_that_name(text: str, when: datetime) -> None:
    assert fed_at(text) == when


@pytest.mark.parametrize("part", ["1/4", "1/3", "1/2", "2/3", "3/4"])
@pytest.mark.parametrize(
    "measure", ["cup flour", "c flour", "cup of rye", "tsp starter + 20g flour"]
)
def test_a_fraction_of_a_kitchen_measure_is_no_date(part: str, measure: str) -> None:
    assert fed_at(f"gave it {part} {measure} at 8am") == told(4, 8)


def test_a_bare_hour_is_the_most_recent_one() -> None:
    assert fed_at("fed at 8", told(4, 9)) == told(4, 8)
    assert fed_at("fed at 8", told(4, 7)) == told(3, 20)


def test_two_feeds_of_one_message_keep_the_order_they_are_told_in() -> None:
    acts = read("fed at 8 and again at 4", at=MONDAY_EVENING, units="metric").acts

    assert [act.at for act in acts if isinstance(act, Fed)] == [told(4, 8), told(4, 16)]


def test_a_feed_comes_before_what_was_seen_of_it() -> None:
    assert fed_at("doubled by noon, fed at 7") == told(4, 7)
    assert fed_at("fed at 8, doubled by 2") == told(4, 8)


def test_both_times_of_a_day_with_two_feeds_are_kept() -> None:
    acts = read("fed 8am and 8pm", at=MONDAY_EVENING, units="metric").acts

    assert [act.at for act in acts if isinstance(act, Fed)] == [told(4, 8), told(4, 20)]


def test_a_mended_hour_takes_the_place_of_the_first() -> None:
    assert fed_at("fed at 8, i mean 9, this morning") == told(4, 9)


@pytest.mark.parametrize("text", ["fed at 10 past", "fed it, 3 jars", "fed 50g at 24 degrees"])
def test_what_is_no_hour_is_not_taken_for_one(text: str) -> None:
    assert fed_at(text) is None


hours = st.integers(1, 12)
minutes = st.sampled_from([0, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55])
moments = st.integers(0, 366 * 24 * 60).map(
    lambda ahead: (datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=ahead)).astimezone(OSLO)
)


@given(hours, minutes, moments)
def test_no_time_told_of_a_feed_lies_ahead(hour: int, minute: int, at: datetime) -> None:
    when = fed_at(f"fed at {hour}:{minute:02d}", at)

    assert when is not None
    assert when <= at + timedelta(minutes=20)
    assert at - when < timedelta(hours=25)


@given(hours, moments)
def test_half_past_is_half_and_is_thirty(hour: int, at: datetime) -> None:
    figures = fed_at(f"fed at {hour}:30", at)

    assert fed_at(f"fed at half past {WORDS[hour - 1]}", at) == figures
    assert fed_at(f"fed half {WORDS[hour - 1]}", at) == figures
    assert fed_at(f"fed at {WORDS[hour - 1]} thirty", at) == figures


@given(hours, moments)
def test_a_quarter_to_is_forty_five_of_the_hour_before(hour: int, at: datetime) -> None:
    before = 12 if hour == 1 else hour - 1

    assert fed_at(f"fed at quarter to {hour}", at) == fed_at(f"fed at {before}:45", at)


@pytest.mark.parametrize(
    "text", ["fed this morning, its now 2pm", "fed it earlier, its 1pm now and nothing"]
)
def test_the_hour_of_writing_is_not_that_of_the_feed(text: str) -> None:
    assert fed_at(text) is None


def test_a_feed_keeps_its_own_hour_beside_that_of_writing() -> None:
    assert fed_at("fed at 9 this morning, its now 3pm") == told(4, 9)
