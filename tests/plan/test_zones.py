"""Where people are, in their own words."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import available_timezones

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.errors import InputError
from bot.plan.zones import find_zone, zone_at, zone_called, zone_info


@pytest.mark.parametrize(
    ("said", "zone"),
    [
        ("Oslo", "Europe/Oslo"),
        ("oslo", "Europe/Oslo"),
        ("I'm in Oslo", "Europe/Oslo"),
        ("Europe/Oslo", "Europe/Oslo"),
        ("europe/oslo", "Europe/Oslo"),
        ("Tromsø", "Europe/Oslo"),
        ("tromso", "Europe/Oslo"),
        ("München", "Europe/Berlin"),
        ("Munich", "Europe/Berlin"),
        ("Köln", "Europe/Berlin"),
        ("koln", "Europe/Berlin"),
        ("São Paulo", "America/Sao_Paulo"),
        ("Sao Paulo", "America/Sao_Paulo"),
        ("Москва", "Europe/Moscow"),
        ("東京", "Asia/Tokyo"),
        ("St. Louis", "America/Chicago"),
        ("saint louis", "America/Chicago"),
        ("NYC", "America/New_York"),
        ("Bombay", "Asia/Kolkata"),
        ("Kathmandu", "Asia/Kathmandu"),
        ("Auckland time", "Pacific/Auckland"),
    ],
)
def test_a_city_is_found_in_any_common_spelling(said: str, zone: str) -> None:
    assert zone_called(said) == zone


@pytest.mark.parametrize(
    ("said", "zone"),
    [
        ("Paris", "Europe/Paris"),
        ("Paris, Texas", "America/Chicago"),
        ("London, Ontario", "America/Toronto"),
        ("London Ontario", "America/Toronto"),
        ("London UK", "Europe/London"),
        ("Portland", "America/Los_Angeles"),
        ("Portland, Maine", "America/New_York"),
        ("Melbourne, Australia", "Australia/Melbourne"),
    ],
)
def test_of_several_towns_of_one_name_the_largest_is_meant_or_the_one_whose_land_is_said(
    said: str, zone: str
) -> None:
    assert zone_called(said) == zone


@pytest.mark.parametrize(
    ("said", "zone"),
    [
        ("Norway", "Europe/Oslo"),
        ("Germany", "Europe/Berlin"),
        ("uk", "Europe/London"),
        ("New Zealand", "Pacific/Auckland"),
        ("California", "America/Los_Angeles"),
        ("Texas", "America/Chicago"),
        ("British Columbia", "America/Vancouver"),
        ("Western Australia", "Australia/Perth"),
        ("EST", "America/New_York"),
        ("pacific time", "America/Los_Angeles"),
        ("CET", "Europe/Paris"),
    ],
)
def test_a_land_or_a_state_with_one_clock_will_do(said: str, zone: str) -> None:
    assert zone_called(said) == zone


@pytest.mark.parametrize("said", ["USA", "Canada", "Australia", "Georgia", "Washington", "Brazil"])
def test_a_name_for_places_with_different_clocks_is_not_guessed(said: str) -> None:
    assert find_zone(said) is None


@pytest.mark.parametrize(
    ("said", "zone"),
    [
        ("UTC", "UTC"),
        ("gmt", "UTC"),
        ("UTC+1", "+01:00"),
        ("utc +1", "+01:00"),
        ("GMT-3", "-03:00"),
        ("GMT -3:30", "-03:30"),
        ("+0530", "+05:30"),
        ("+5:45", "+05:45"),
        ("-5", "-05:00"),
        ("UTC+14", "+14:00"),
    ],
)
def test_an_offset_is_an_offset(said: str, zone: str) -> None:
    assert zone_called(said) == zone


@pytest.mark.parametrize("said", ["+15", "-13", "UTC+5:75", "+", "5", "UTC plus"])
def test_an_offset_that_no_clock_keeps_is_none(said: str) -> None:
    assert find_zone(said) is None


@pytest.mark.parametrize(
    ("said", "zone"),
    [
        ("Oslow", "Europe/Oslo"),
        ("Barcelna", "Europe/Madrid"),
        ("Mubmai", "Asia/Kolkata"),
        ("Istanbull", "Europe/Istanbul"),
        ("Copenhagne", "Europe/Copenhagen"),
    ],
)
def test_a_slip_of_the_thumb_is_forgiven_when_a_place_was_asked_for(said: str, zone: str) -> None:
    assert zone_called(said) is None
    assert find_zone(said) == zone


@pytest.mark.parametrize(
    "said",
    [
        "", "  ", "bed", "home", "my kitchen", "love", "a hurry", "trouble", "later", "maybe",
        "banana", "dunno", "the moon", "the", "jar", "asdf", "no", "yes", "8", "🍞", "x" * 4096,
    ],
)  # fmt: skip
def test_what_is_no_place_is_none(said: str) -> None:
    assert find_zone(said) is None


def test_every_place_found_is_a_zone_that_can_be_reckoned_with() -> None:
    for said in ("Oslo", "Paris, Texas", "EST", "+0530", "UTC", "Norway", "Москва"):
        key = find_zone(said)
        assert key is not None
        assert zone_info(key).utcoffset(datetime(2026, 3, 2)) is not None  # noqa: DTZ001


def test_a_shared_location_has_a_zone_on_land_and_at_sea() -> None:
    assert zone_at(59.91, 10.75) == "Europe/Oslo"
    assert zone_at(-36.85, 174.76) == "Pacific/Auckland"
    assert zone_at(0.0, -30.0) is not None
    assert zone_at(91.0, 0.0) is None
    assert zone_at(float("nan"), 0.0) is None


def test_an_offset_is_a_zone() -> None:
    assert zone_info("+05:45").utcoffset(None) == timedelta(hours=5, minutes=45)
    assert zone_info("-03:30").utcoffset(None) == timedelta(hours=-3, minutes=-30)


@pytest.mark.parametrize(
    "key", ["Mars/Olympus", "", "+25:00", "+01:75", "../etc/passwd", "Europe/"]
)
def test_an_unknown_zone_is_one_clear_error(key: str) -> None:
    with pytest.raises(InputError):
        zone_info(key)


def test_every_zone_of_the_machine_can_be_named_by_its_key() -> None:
    keys = [key for key in available_timezones() if "/" in key and not key.startswith("Etc/")]

    assert [key for key in keys if zone_called(key.lower()) != key] == []


@settings(deadline=None)
@given(st.text(max_size=60))
def test_any_text_is_a_place_or_none_and_never_an_error(text: str) -> None:
    found = find_zone(text)

    assert found is None or zone_info(found) is not None
