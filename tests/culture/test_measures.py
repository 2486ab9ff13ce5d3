"""Weights, volumes, spoons, cups and degrees, against their definitions and the trade's weights."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.culture.measures import convert, grams_of, kitchen_measure, to_celsius, volume_ml
from bot.culture.units import parse_amount, to_unit
from bot.culture.water import density_g_per_ml
from bot.errors import InputError
from tests.culture.fact_sheet import rows

REGISTRY = {
    "cup_us": "cup", "tbsp_us": "tbsp", "tsp_us": "tsp", "floz_us": "fl oz", "pint_us": "pint",
    "quart_us": "quart", "oz": "oz", "lb": "lb", "cup_metric": "metric cup",
}  # fmt: skip
EXACT = [row for row in rows("units") if row["exact"] == "yes" and row["unit"] != "inch"]


@pytest.mark.parametrize("row", EXACT, ids=lambda row: row["unit"])
def test_exact_units_are_exact(row: dict[str, str]) -> None:
    """F-148 to F-154: exact US definitions (published), NIST Handbook 44 App. C (from memory)."""
    found = convert(f"1 {REGISTRY[row['unit']]}", "water", row["to"])

    assert found.value == pytest.approx(float(row["factor"]), rel=1e-12)
    assert found.low == found.high == found.value


@settings(deadline=None)
@given(
    st.floats(min_value=0.001, max_value=1e5),
    st.sampled_from(["teaspoon", "tablespoon", "cup", "fluid_ounce", "pint", "quart", "litre"]),
)
def test_a_volume_comes_back_from_millilitres(value: float, unit: str) -> None:
    assert to_unit(to_unit(value, unit, "millilitre"), "millilitre", unit) == pytest.approx(
        value, rel=1e-9
    )


@settings(deadline=None)
@given(st.floats(min_value=-200.0, max_value=900.0))
def test_degrees_come_back_from_fahrenheit(celsius: float) -> None:
    fahrenheit = to_unit(celsius, "celsius", "fahrenheit")

    assert fahrenheit == pytest.approx(1.8 * celsius + 32.0, abs=1e-9)
    assert to_celsius(fahrenheit, "F") == pytest.approx(celsius, abs=1e-9)


def test_seventy_fahrenheit_is_a_cool_kitchen() -> None:
    """F-156, exact: (70 - 32)/1.8; a change of 18 °F is a change of 10 °C."""
    assert to_celsius(70.0, "F") == pytest.approx(21.111, abs=5e-4)
    assert to_celsius(88.0, "F") - to_celsius(70.0, "F") == pytest.approx(10.0, abs=1e-9)


@pytest.mark.parametrize("row", rows("water_density"), ids=lambda row: f"{row['temp_c']}C")
def test_water_is_as_heavy_as_the_handbook_says(row: dict[str, str]) -> None:
    """F-160, CRC Handbook 53rd ed. p. F-4 to 15 °C within 2e-6; above, F-161, Kell 1975."""
    within = 2e-6 if float(row["temp_c"]) <= 15 else 6e-6

    assert density_g_per_ml(float(row["temp_c"])) == pytest.approx(
        float(row["g_per_ml"]), abs=within
    )


def test_a_cup_of_water_at_room_warmth() -> None:
    """F-161, F-162, derived: 0.99820 g/mL at 20 °C, 236.16 g a cup."""
    assert density_g_per_ml(20.0) == pytest.approx(0.99820, abs=5e-6)
    assert grams_of("1 cup", "water").low == pytest.approx(236.16, abs=0.005)
    assert grams_of("1 cup", "water").is_exact


@pytest.mark.parametrize("row", rows("flour_cups"), ids=lambda row: row["flour"])
def test_a_cup_of_flour_is_a_range_by_kind(row: dict[str, str]) -> None:
    """F-163 to F-169: published cup weights for white, bread, wholewheat; the rest as marked."""
    found = convert("1 cup", row["flour"], "g")  # type: ignore[arg-type]

    assert found.value == pytest.approx(float(row["g_per_cup"]))
    assert (found.low, found.high) == pytest.approx((float(row["low"]), float(row["high"])))


@pytest.mark.parametrize(
    ("amount", "low", "high"),
    [("1 tbsp", 15.0, 17.1), ("1/4 cup", 62.0, 68.1), ("1 heaping tbsp", 24.9, 35.1)],
)
def test_a_spoon_of_starter(amount: str, low: float, high: float) -> None:
    """F-175, F-178 from memory; F-176 common practice: 25-35 g."""
    found = grams_of(amount, "starter")

    assert low <= found.low < found.high <= high


def test_the_worked_example_in_cups() -> None:
    """F-184 E4, arithmetic: 1/2 cup flour is 62.5 g, 1/4 cup water 59.04 g, hydration 94.5 %."""
    flour, water = convert("1/2 cup", "flour", "g").value, convert("1/4 cup", "water", "g").value

    assert flour == pytest.approx(62.5, abs=0.01)
    assert water == pytest.approx(59.0408, abs=0.01)
    assert water / flour == pytest.approx(0.9447, abs=5e-5)


@pytest.mark.parametrize(
    ("amount", "low", "high", "unit", "heap"),
    [
        ("1/2 cup", 0.5, 0.5, "cup", "level"),
        ("½ cup", 0.5, 0.5, "cup", "level"),
        ("1½ cups", 1.5, 1.5, "cup", "level"),
        ("1 1/2 cups", 1.5, 1.5, "cup", "level"),
        ("1 and 1/2 cups", 1.5, 1.5, "cup", "level"),
        ("one and a half cups", 1.5, 1.5, "cup", "level"),
        ("half a cup", 0.5, 0.5, "cup", "level"),
        ("a cup of flour", 1.0, 1.0, "cup", "level"),
        ("2 heaping tbsp", 2.0, 2.0, "tablespoon", "heaping"),
        ("2 tablespoons (heaped)", 2.0, 2.0, "tablespoon", "heaping"),
        ("2 level tsp.", 2.0, 2.0, "teaspoon", "level"),
        ("2-3 Tbsp", 2.0, 3.0, "tablespoon", "level"),
        ("3 T", 3.0, 3.0, "tablespoon", "level"),
        ("3 t", 3.0, 3.0, "teaspoon", "level"),
        ("50g", 50.0, 50.0, "gram", "level"),
        ("1,5 dl", 1.5, 1.5, "decilitre", "level"),
        ("1,000 g", 1000.0, 1000.0, "gram", "level"),
        ("about 4 oz", 4.0, 4.0, "ounce", "level"),
        ("1 fl. oz.", 1.0, 1.0, "fluid_ounce", "level"),
        ("70°F", 70.0, 70.0, "fahrenheit", "level"),
        ("21 degrees C", 21.0, 21.0, "celsius", "level"),
        ("-18 C", -18.0, -18.0, "celsius", "level"),
        ("500 mL", 500.0, 500.0, "millilitre", "level"),
        ("1 L", 1.0, 1.0, "litre", "level"),
    ],
)
def test_people_write_amounts_in_many_ways(
    amount: str, low: float, high: float, unit: str, heap: str
) -> None:
    found = parse_amount(amount)

    assert (found.value.low, found.value.high) == pytest.approx((low, high))
    assert (found.unit, found.heap) == (unit, heap)


@pytest.mark.parametrize(
    ("amount", "of", "to", "says"),
    [
        ("5", "flour", "g", "needs a unit"),
        ("cup", "flour", "g", "has no number"),
        ("", "flour", "g", "has no number"),
        ("-2 cups", "flour", "g", "0 or more"),
        ("1/0 cup", "flour", "g", "divides by 0"),
        ("nan g", "flour", "oz", "has no number"),
        ("1e99 g", "flour", "oz", "at most 1,000,000"),
        ("3 blorps", "flour", "g", "not a unit known here"),
        ("1 cup", "flour", "blorps", "not a unit known here"),
        ("70 F", "flour", "g", "one is a temperature"),
        ("1 cup", "flour", "C", "one is a temperature"),
        ("-500 C", None, "F", "-273.15 to 1000 °C"),
        ("1 cup", None, "g", "depends on what it is"),
        ("3-2 cups", "flour", "g", "runs backwards"),
        ("x" * 5000, "flour", "g", "too long"),
    ],
)
def test_what_is_no_amount_is_refused_in_a_clear_sentence(amount, of, to: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        convert(amount, of, to)


@settings(deadline=None)
@given(st.text(max_size=60), st.text(max_size=12))
def test_any_text_is_measured_or_refused(amount: str, to: str) -> None:
    try:
        found = convert(amount, "flour", to)
    except InputError as wrong:
        assert str(wrong)
    else:
        assert math.isfinite(found.value)
        assert found.low <= found.value <= found.high


@settings(deadline=None)
@given(st.floats(min_value=1.0, max_value=2000.0), st.sampled_from(["white", "water", "starter"]))
def test_a_cup_measure_comes_near_the_grams_that_were_meant(grams: float, of) -> None:
    taken = kitchen_measure(grams, of, "us")
    middle = convert(f"{taken.quantity} {taken.unit}", of, "g").value

    assert middle == pytest.approx(grams, rel=0.3, abs=0.8)
    assert kitchen_measure(grams, of, "metric").unit == "g"
    assert kitchen_measure(grams, of, "metric").quantity == pytest.approx(grams, abs=0.51)


def test_a_hundred_grams_of_starter_take_about_ninety_millilitres() -> None:
    """F-172, from memory: 1.05 to 1.15 g/mL stirred."""
    found = volume_ml("100 g", "starter")

    assert (found.low, found.high) == pytest.approx((86.96, 95.24), abs=0.01)
