"""Jars and feeds for the amounts a question names."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from bot.voice.amounts import jar_size, target


def test_a_recipe_is_met_from_what_is_in_the_jar() -> None:
    text = target("recipe wants 200 g tomorrow, got 40 g in the jar")

    assert text.startswith("40 g of starter, 90 g of flour and 90 g of water make 220 g")


def test_a_long_way_up_takes_two_feeds() -> None:
    assert target("i have 10 g and need 250 g").startswith("In two feeds")


def test_enough_is_called_enough() -> None:
    assert "enough" in target("need 100 g, have 300 g in the jar")


@given(st.integers(50, 900), st.integers(20, 200))
def test_what_goes_in_adds_up_and_leaves_some_to_keep(wanted: int, had: int) -> None:
    """What goes in comes out: a law of bakers' arithmetic."""
    text = target(f"recipe needs {wanted} g, have {had} g in the jar")

    total = re.search(r"make?s? (\d+) g", text)
    if total is None:
        assert had >= wanted
    else:
        parts = [int(part) for part in re.findall(r"(\d+) g(?: each)? of", text)]
        if "two feeds" not in text:
            assert sum(parts) == int(total[1])
        assert int(total[1]) > wanted


def test_a_jar_is_three_to_four_times_what_is_in_it() -> None:
    """Common practice, no source: a starter doubles, and a jar wants room above that."""
    assert "850 to 1100 ml" in jar_size("i feed 100 g starter + 100 g flour + 100 g water", 75.0)
    assert "200 to 300 ml" in jar_size("which jar", 75.0)
