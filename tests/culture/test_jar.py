"""Room in the jar, against the fact sheet's table (F-179, arithmetic on common practice)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.culture.jar import fill, largest_starter_g
from bot.errors import InputError
from tests.culture.fact_sheet import rows


@pytest.mark.parametrize("row", rows("jar_check"), ids=lambda row: f"{row['starter_g']}g x{row['ratio']} in {row['jar']}")  # fmt: skip
def test_every_row_of_the_jar_table(row: dict[str, str]) -> None:
    """150 g tripled overflows nothing in a quart and is tight in a pint."""
    third = float(row["starter_g"]) / 3

    found = fill(float(row["jar_ml"]), third, third, third, float(row["ratio"]))

    assert found.volume_ml == pytest.approx(float(row["v0_ml"]), abs=0.06)
    assert found.top_ml == pytest.approx(float(row["peak_ml"]), abs=0.06)
    assert found.needed_ml == pytest.approx(float(row["needed_ml"]), abs=0.06)
    assert found.room == row["result"]
    assert found.fits == (row["result"] == "fits")


def test_a_hundred_grams_hold_ninety_millilitres_of_gas_when_doubled() -> None:
    """F-078, arithmetic: 100 g of 1.10 g/mL doubles by 90.9 mL."""
    found = fill(500.0, 20.0, 40.0, 40.0, 2.0)

    assert found.top_ml - found.volume_ml == pytest.approx(90.9, abs=0.05)


@settings(deadline=None)
@given(
    st.floats(min_value=50.0, max_value=5000.0),
    st.floats(min_value=1.0, max_value=4.0),
    st.floats(min_value=1.0, max_value=5.0),
)
def test_the_largest_feed_just_fits(jar_ml: float, rise: float, parts: float) -> None:
    starter_g = largest_starter_g(jar_ml, (1.0, parts, parts), rise)

    just = fill(jar_ml, starter_g, starter_g * parts, starter_g * parts, rise)
    more = fill(jar_ml, starter_g * 1.01, starter_g * parts, starter_g * parts * 1.01, rise)

    assert just.needed_ml == pytest.approx(jar_ml)
    assert not more.fits


@pytest.mark.parametrize(
    ("jar_ml", "starter_g", "rise", "says"),
    [
        (0.0, 50.0, 2.0, "jar_ml is 0: it must be 10 to"),
        (math.nan, 50.0, 2.0, "jar_ml is nan"),
        (500.0, -1.0, 2.0, "starter_g is -1: it must be 0 to 100,000 g"),
        (500.0, 50.0, 0.5, "rise is 0.5: it must be 1 to 10"),
        (500.0, 50.0, math.inf, "rise is inf"),
    ],
)
def test_an_impossible_jar_is_refused(
    jar_ml: float, starter_g: float, rise: float, says: str
) -> None:
    with pytest.raises(InputError, match=says):
        fill(jar_ml, starter_g, 50.0, 50.0, rise)
