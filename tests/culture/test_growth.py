"""Growth by temperature, against what Gänzle, Ehmann and Hammes published in 1998 and what is remembered of it.

Published: the author's rounded anchors (rec.food.sourdough FAQ question 39, 1998) and the abstract of
Appl Environ Microbiol 64:2616. From memory: the equation and its table; see the fact sheet, section 1.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from bot.culture.growth import (
    Inflected,
    cautious_yeast_per_h,
    lab_curve,
    lab_per_h,
    pace,
    warm_yeast_curve,
    yeast_curve,
    yeast_per_h,
)
from bot.errors import InputError
from tests.culture.fact_sheet import rows


@pytest.mark.parametrize("row", rows("growth_rates"), ids=lambda row: f"{row['temp_c']}C")
def test_both_curves_are_the_reconstructed_table(row: dict[str, str]) -> None:
    """F-032, F-033: cardinals published (secondary), form and exponent from memory; within 0.0001."""
    celsius = float(row["temp_c"])

    assert lab_per_h(celsius) == pytest.approx(float(row["lab_per_h"]), abs=1e-4)
    assert yeast_per_h(celsius) == pytest.approx(float(row["yeast_per_h"]), abs=1e-4)


@pytest.mark.parametrize(
    ("rate", "best_c", "peak", "end_c"),
    [(yeast_per_h, 27.0, 0.42, 35.9), (lab_per_h, 32.5, 0.71, 41.0)],
    ids=["yeast", "lab"],
)
def test_a_curve_peaks_at_its_optimum_and_ends_at_its_limit(
    rate, best_c: float, peak: float, end_c: float
) -> None:
    """F-028, F-029: cardinal values of the 1998 paper, by a secondary compilation."""
    found = minimize_scalar(lambda celsius: -rate(celsius), bounds=(5, 40), method="bounded")

    assert found.x == pytest.approx(best_c, abs=0.01)
    assert rate(best_c) == pytest.approx(peak, abs=1e-9)
    assert rate(end_c) == rate(end_c + 3) == rate(-0.1) == 0.0


@pytest.mark.parametrize("curve", [yeast_curve(), lab_curve()], ids=["yeast", "lab"])
def test_the_normal_form_is_the_abc_form(curve) -> None:
    """F-031, arithmetic: a = peak (e/xo)^b, c = b/xo."""
    span = curve.tmax_c - curve.topt_c
    a = curve.peak_per_h * (math.e / span) ** curve.exponent
    c = curve.exponent / span

    for celsius in range(36):
        x = curve.tmax_c - celsius
        written_out = a * x**curve.exponent * math.exp(-c * x) if x > 0 else 0.0
        assert curve.per_h(celsius) == pytest.approx(written_out, rel=1e-12)


@pytest.mark.parametrize(
    "row",
    [row for row in rows("growth_anchors") if float(row["relative_rate"]) not in (0.0, 1.0)],
    ids=lambda row: f"{row['organism']} {row['temp_c']}C",
)
def test_the_curve_keeps_near_the_published_anchors(row: dict[str, str]) -> None:
    """F-002, F-003, F-006, F-007, published (FAQ question 39): within a factor 0.65 to 1.50, yeast at 34 °C 0.40."""
    curve = yeast_curve() if row["organism"] == "yeast" else lab_curve()
    relative = curve.per_h(float(row["temp_c"])) / curve.peak_per_h

    off = relative / float(row["relative_rate"])

    lowest = 0.40 if (row["organism"], row["temp_c"]) == ("yeast", "34") else 0.65
    assert lowest <= off <= 1.50


@pytest.mark.parametrize(
    ("curve", "celsius"),
    [(lab_curve(), 4.0), (lab_curve(), 41.0), (yeast_curve(), 8.0), (yeast_curve(), 35.0)],
)
def test_where_no_growth_was_seen_the_curve_shows_under_six_percent(curve, celsius: float) -> None:
    """F-004, F-008, published (FAQ question 39)."""
    assert curve.per_h(celsius) < 0.06 * curve.peak_per_h


def test_the_yeast_doubles_for_every_seven_degrees_fahrenheit_in_a_kitchen_and_below() -> None:
    """F-026, published (rec.food.sourdough FAQ question 37): 40 to 75 °F, about 7 °F a doubling."""
    cold_c, warm_c = (40 - 32) / 1.8, (75 - 32) / 1.8

    doublings = math.log2(yeast_per_h(warm_c) / yeast_per_h(cold_c))

    assert 6.0 <= (75 - 40) / doublings <= 8.0


def test_growth_rate_is_ln_two_over_the_generation_time() -> None:
    """F-025, published definition (FAQ question 37): 0.7 per hour is a generation of about an hour."""
    assert math.log(2) / 0.7 == pytest.approx(1.0, abs=0.02)
    assert math.log(2) / lab_per_h(32.5) == pytest.approx(1.0, abs=0.03)


@pytest.mark.parametrize(
    "row",
    [row for row in rows("growth_rates_recalled") if 2 <= float(row["temp_c"]) <= 30],
    ids=lambda row: f"{row['temp_c']}C",
)
def test_the_curves_come_back_to_the_remembered_rows(row: dict[str, str]) -> None:
    """The 1998 table as recalled, from memory, never seen: within 5 % from 2 to 30 °C."""
    celsius = float(row["temp_c"])
    strains = (float(row["lab1_per_h"]) + float(row["lab2_per_h"])) / 2

    assert lab_per_h(celsius) == pytest.approx(strains, rel=0.05)
    assert yeast_per_h(celsius) == pytest.approx(float(row["yeast_per_h"]), rel=0.05)


def test_warmth_past_24_favours_the_bacteria_more_and_more() -> None:
    """F-035, from memory; F-036, published summary of the 1998 paper: 20-26 °C suits the yeast."""
    shares = [yeast_per_h(c / 2) / lab_per_h(c / 2) for c in range(48, 67)]

    assert all(later < sooner for sooner, later in pairwise(shares))
    best = max(range(100, 330), key=lambda tenth: yeast_per_h(tenth / 10) / lab_per_h(tenth / 10))
    assert best / 10 == pytest.approx(22.5, abs=0.3)


def test_the_inflected_model_meets_the_cold_anchors_of_the_bacteria() -> None:
    """F-038, derived from F-037 (Rosso et al. 1993, form published): 0.489 at 20 °C, 0.249 at 15 °C."""
    lab = Inflected(tmin_c=4.0, topt_c=32.5, tmax_c=41.0, peak_per_h=1.0)

    assert lab.per_h(20.0) == pytest.approx(0.489, abs=0.002)
    assert lab.per_h(15.0) == pytest.approx(0.249, abs=0.002)
    assert lab.per_h(32.5) == pytest.approx(1.0, abs=1e-12)
    assert lab.per_h(4.0) == lab.per_h(41.0) == 0.0


@pytest.mark.parametrize(
    "row",
    [row for row in rows("growth_anchors") if row["organism"] == "yeast"],
    ids=lambda row: f"{row['temp_c']}C",
)
def test_above_32_the_lower_of_curve_and_anchor_counts(row: dict[str, str]) -> None:
    """F-006 to F-008, published (FAQ question 39): the cautious limit."""
    celsius = float(row["temp_c"])
    cautious = cautious_yeast_per_h(celsius)

    assert cautious <= yeast_per_h(celsius)
    if celsius > 32:
        assert cautious <= float(row["relative_rate"]) * 0.42 + 1e-12


def test_baker_s_yeast_likes_more_warmth_and_lives_above_35() -> None:
    """F-039, published (secondary; Appl Environ Microbiol 77:2292, 2011)."""
    warm = warm_yeast_curve()

    assert warm.per_h(32.27) == pytest.approx(0.368, rel=1e-9)
    assert pace(35.5, 0.0) == 0.0 < pace(35.5, 1.0)
    assert pace(24.0, 0.0) == pace(24.0, 1.0)


@settings(deadline=None)
@given(st.floats(min_value=0.0, max_value=26.9), st.floats(min_value=0.0, max_value=0.1))
def test_warmer_is_never_slower_below_the_optimum(celsius: float, more: float) -> None:
    assert yeast_per_h(celsius + more) >= yeast_per_h(celsius)
    assert lab_per_h(celsius + more) >= lab_per_h(celsius)
    assert pace(celsius + more, 0.3) >= pace(celsius, 0.3)


@settings(deadline=None)
@given(st.floats())
def test_any_number_gives_a_rate_or_a_clear_refusal(celsius: float) -> None:
    try:
        rates = yeast_per_h(celsius), lab_per_h(celsius)
    except InputError as wrong:
        assert "°C" in str(wrong) and "-30 to 100" in str(wrong)
    else:
        assert all(math.isfinite(rate) and 0.0 <= rate <= 0.72 for rate in rates)
