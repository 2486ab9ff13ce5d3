"""The language of conditions: yes, no and unknown."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.advice.conditions import Between, parse
from bot.advice.review import implies
from bot.culture.quantities import Range

WORDS = frozenset({"sour", "cheesy", "rotten"})


def test_a_bound_may_be_open_or_closed() -> None:
    assert parse("under 18", "number", None).holds(18) == "no"
    assert parse("at least 18", "number", None).holds(18) == "yes"
    assert parse("3..5", "number", None).holds(5) == "yes"


def test_a_range_that_straddles_a_bound_is_unknown() -> None:
    assert parse("under 1.3", "number", None).holds(Range(1.0, 1.5)) == "unknown"
    assert parse("under 1.3", "number", None).holds(Range(1.0, 1.2)) == "yes"
    assert parse("under 1.3", "number", None).holds(Range(1.4, 2.0)) == "no"


def test_what_was_not_told_is_unknown_and_never_no() -> None:
    for text, sort in (("over 3", "number"), ("yes", "yes-no"), ("no", "yes-no")):
        assert parse(text, sort, None).holds(None) == "unknown"  # type: ignore[arg-type]
    assert parse("any of sour", "words", WORDS).holds(None) == "unknown"


def test_whether_something_is_known_can_itself_be_asked() -> None:
    assert parse("unknown", "number", None).holds(None) == "yes"
    assert parse("known", "words", WORDS).holds(("sour",)) == "yes"


def test_of_several_words_any_all_or_only_these() -> None:
    told = ("sour", "cheesy")
    assert parse("any of sour, rotten", "words", WORDS).holds(told) == "yes"
    assert parse("all of sour, rotten", "words", WORDS).holds(told) == "no"
    assert parse("only sour", "words", WORDS).holds(told) == "no"
    assert parse("only sour, cheesy", "words", WORDS).holds(told) == "yes"


@pytest.mark.parametrize(
    ("text", "sort"),
    [("5..3", "number"), ("about 3", "number"), ("maybe", "yes-no"), ("any of sauer", "words")],
)
def test_a_condition_that_makes_no_sense_says_so(text: str, sort: str) -> None:
    with pytest.raises(ValueError, match="'"):
        parse(text, sort, WORDS)  # type: ignore[arg-type]


@given(
    low=st.integers(0, 9), more=st.integers(0, 9), at=st.integers(-2, 20), wider=st.integers(0, 3)
)
def test_what_meets_a_narrow_bound_meets_a_wider_one(
    low: int, more: int, at: int, wider: int
) -> None:
    narrow, wide = Between(low, low + more), Between(low - wider, low + more + wider)

    assert implies(narrow, wide)
    if narrow.holds(at) == "yes":
        assert wide.holds(at) == "yes"
