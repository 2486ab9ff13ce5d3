"""Numbers, warmth, times and feeds as a person of either kitchen reads them."""

from __future__ import annotations

from datetime import datetime, time
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from bot.voice.conversions import converted
from bot.voice.quantities import (
    EARLY,
    LATE,
    awake,
    clock,
    degrees,
    degrees_between,
    feed,
    moment,
    number,
    spoons,
    warmth_slot,
)

OSLO = ZoneInfo("Europe/Oslo")
NOW = datetime(2026, 3, 4, 8, 10, tzinfo=OSLO)  # a Wednesday


def test_warmth_is_said_in_the_persons_degrees() -> None:
    """70 °F is 21.1 °C (F-156, NIST SP 811)."""
    assert degrees(21.1, "us") == "70 °F"
    assert degrees(21.1, "metric") == "21 °C"
    assert degrees_between(24, 26, "us") == "75\u201379 °F"
    assert warmth_slot("c24_26", "metric") == "24\u201326 °C"
    assert warmth_slot("name", "metric") is None


def test_clocks_follow_the_kitchen() -> None:
    assert clock(time(14, 0), "metric") == "14:00"
    assert clock(time(14, 0), "us") == "2:00 PM"


def test_a_moment_is_named_as_near_as_it_is() -> None:
    later = [(4, "about 14:00"), (5, "tomorrow about 14:00"), (7, "on Saturday about 14:00")]
    for day, words in later:
        assert moment(NOW.replace(day=day, hour=14, minute=0), NOW, "metric") == words
    assert (
        moment(NOW.replace(day=20, hour=14, minute=0), NOW, "metric") == "on 20 March about 14:00"
    )


def test_a_feed_is_weighed_in_a_metric_kitchen_and_spooned_too_in_a_us_one() -> None:
    assert feed(25, 25, 25, "metric") == "25 g of starter, 25 g of flour and 25 g of water"
    assert "tablespoon" in feed(25, 25, 25, "us")


def test_many_spoons_are_cups() -> None:
    """A US cup is 16 tablespoons (F-148, F-149, exact unit definitions)."""
    assert spoons(8) == "½ cup"
    assert spoons(20) == "1¼ cups"


def test_a_number_has_one_decimal_at_most_and_none_that_is_zero() -> None:
    assert number(5.0) == "5"
    assert number(2.5) == "2.5"


@given(hour=st.integers(0, 23), minute=st.sampled_from((0, 30)))
def test_nobody_is_asked_to_look_into_a_jar_at_night(hour: int, minute: int) -> None:
    at = awake(NOW.replace(hour=hour, minute=minute), time(8))

    assert EARLY <= at.time() <= LATE
    assert at >= NOW.replace(hour=hour, minute=minute)


def test_spoons_and_cups_are_weighed() -> None:
    """A cup of flour about 125 g (F-163, USDA household measures), a spoon of starter 15-17 g (F-175)."""
    assert "125 g" in converted("how much is a cup of flour in grams", "metric")
    assert "236 g" in converted("1 cup of water in g", "metric")
    assert "33 g" in converted("2 tablespoons of starter, whats that in grams", "metric")
    assert "level tablespoons" in converted("how many tablespoons is 60g starter", "metric")
    assert converted("convert it", "metric").startswith("A level tablespoon")


@given(st.text(max_size=80))
def test_any_text_at_all_gets_some_measure(text: str) -> None:
    assert converted(text, "us")
