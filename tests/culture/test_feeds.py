"""Feed arithmetic: exact, against worked examples (arithmetic, F-180 to F-186) and laws."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bot.culture.feeds import (
    Portions,
    blend_g,
    build,
    feed,
    feed_for,
    flour_for_g,
    levain,
    take_out_g,
    to_hydration,
    to_hydration_for,
    weighed,
    without_discard_g,
)
from bot.errors import InputError
from tests.culture.fact_sheet import rows

EXAMPLES = {
    (row["example"][:2], row["quantity"]): float(row["value"]) for row in rows("worked_examples")
}
grams = st.floats(min_value=0.1, max_value=5000.0)
hydrations = st.floats(min_value=0.4, max_value=3.0)


def is_example(found: Portions, example: str) -> bool:
    """Every quantity that the worked example gives, to 0.01 (F-184, derived by hand and in code)."""
    figures = {
        "starter_g": found.starter_g,
        "seed_g": found.starter_g,
        "flour_added_g": found.flour_g,
        "water_added_g": found.water_g,
        "total_flour_g": found.total_flour_g,
        "total_water_g": found.total_water_g,
        "total_g": found.total_g,
        "hydration": found.hydration,
        "starter_on_new_flour": found.starter_on_new_flour,
        "starter_on_total": found.starter_on_total,
        "prefermented_flour": found.prefermented_flour,
    }
    checked = {key: value for key, value in figures.items() if (example, key) in EXAMPLES}
    assert len(checked) >= 5
    return all(
        value == pytest.approx(EXAMPLES[example, key], abs=0.01 if key.endswith("_g") else 5e-5)
        for key, value in checked.items()
    )


def test_twenty_grams_fed_one_to_two_to_two() -> None:
    assert is_example(feed((1.0, 2.0, 2.0), 20.0), "E1")


def test_thirty_grams_at_100_percent_become_180_at_60() -> None:
    assert is_example(build(30.0, 180.0, 0.6), "E2")


def test_a_levain_of_200_grams_at_80_percent() -> None:
    assert is_example(levain(200.0, 0.8, seed_on_new_flour=0.2, hydration_in=1.25), "E3")


def test_104_percent_to_100_percent() -> None:
    """F-185: 100 g at 104 % is 49.02 g flour and 50.98 g water; with 100 g flour, 98.04 g water."""
    found = to_hydration(100.0, 1.0, hydration_in=1.04)

    assert found.flour_g == 100.0
    assert found.water_g == pytest.approx(98.0392, abs=1e-4)
    assert found.hydration == pytest.approx(1.0, abs=1e-12)


def test_fifty_grams_kept_whole_are_36_kilograms_after_six_feeds() -> None:
    """F-186, arithmetic: 50 x 3^6."""
    assert without_discard_g(50.0, (1.0, 1.0, 1.0), 6) == 36450.0


def test_a_feed_to_use_and_to_keep_is_both_together() -> None:
    found = feed_for((1.0, 5.0, 5.0), 200.0, keep_g=20.0)

    assert (found.starter_g, found.total_g) == pytest.approx((20.0, 220.0))


def test_what_is_taken_out_leaves_what_is_kept() -> None:
    assert take_out_g(150.0, 50.0) == 100.0
    assert take_out_g(30.0, 50.0) == 0.0


def test_the_week_s_flour() -> None:
    daily = feed((1.0, 1.0, 1.0), 50.0)

    assert flour_for_g(daily, feeds_per_day=2, days=7) == 700.0


def test_a_scale_of_whole_grams_keeps_the_ratio_and_a_spoon_may_not() -> None:
    fine = weighed(feed((1.0, 2.0, 2.0), 20.2))
    coarse = weighed(feed((1.0, 5.0, 5.0), 6.0), step_g=10.0)

    assert not fine.matters
    assert fine.portions.flour_g == 40.0
    assert coarse.matters
    assert coarse.portions.starter_g == 10.0


@settings(deadline=None)
@given(st.tuples(grams, grams, grams), grams, hydrations)
def test_mass_is_conserved(ratio, starter_g: float, hydration_in: float) -> None:
    """To 1e-9 of the whole."""
    try:
        found = feed(ratio, starter_g, hydration_in=hydration_in)
    except InputError:
        assume(False)

    assert found.starter_g + found.flour_g + found.water_g == pytest.approx(found.total_g, rel=1e-9)
    assert found.total_flour_g + found.total_water_g == pytest.approx(found.total_g, rel=1e-9)
    assert found.hydration > 0.0


@settings(deadline=None)
@given(grams, hydrations, hydrations)
def test_hydration_out_is_hydration_asked(
    starter_g: float, hydration_in: float, hydration_out: float
) -> None:
    found = to_hydration(starter_g, hydration_out, hydration_in=hydration_in)

    assert found.hydration == pytest.approx(hydration_out, abs=1e-9)
    assert found.flour_g > 0.0 and found.water_g >= 0.0


@settings(deadline=None)
@given(grams, st.floats(min_value=0.0, max_value=500.0), hydrations, hydrations)
def test_what_is_wanted_and_what_is_kept_come_out_exactly(
    want_g: float, keep_g: float, hydration_in: float, hydration_out: float
) -> None:
    found = to_hydration_for(want_g, hydration_out, keep_g=keep_g, hydration_in=hydration_in)

    assert found.total_g == pytest.approx(want_g + keep_g, rel=1e-9)
    assert found.hydration == pytest.approx(hydration_out, abs=1e-9)


@settings(deadline=None)
@given(grams, st.lists(st.floats(min_value=0.0, max_value=100.0), min_size=1, max_size=5))
def test_a_blend_adds_up(flour_g: float, shares: list[float]) -> None:
    assume(sum(shares) > 1e-6)

    assert math.fsum(blend_g(flour_g, shares)) == pytest.approx(flour_g, rel=1e-9)


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: feed((1.0, 2.0, 2.0), 0.0), "starter_g is 0: it must be more than 0"),
        (lambda: feed((1.0, 2.0, 2.0), -5.0), "starter_g is -5"),
        (lambda: feed((1.0, 2.0, 2.0), math.nan), "starter_g is nan"),
        (lambda: feed((1.0, 2.0, 2.0), 1e9), "at most 100,000 g"),
        (lambda: feed((0.0, 2.0, 2.0), 5.0), "no seed"),
        (lambda: feed((1.0, 0.0, 2.0), 5.0), "no flour"),
        (lambda: feed((1.0, 2.0, 2.0), 5.0, hydration_in=100.0), "0.4 to 3"),
        (lambda: feed((1.0, 1.0, 8.0), 5.0), "0.4 to 3"),
        (lambda: to_hydration(50.0, 0.3), "0.4 to 3"),
        (lambda: to_hydration(50.0, 3.5), "0.4 to 3"),
        (lambda: to_hydration(100.0, 0.4, flour_g=1.0, hydration_in=2.0), "needs at least"),
        (lambda: build(200.0, 100.0, 1.0), "cannot become 100 g"),
        (lambda: feed_for((1.0, 1.0, 1.0), 100.0, keep_g=-1.0), "keep_g is -1"),
        (lambda: blend_g(100.0, (0.0, 0.0)), "more than 0"),
        (lambda: without_discard_g(50.0, (1.0, 1.0, 1.0), -1), "0 to 60"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_its_range(ask, says: str) -> None:
    with pytest.raises(InputError, match=says):
        ask()
