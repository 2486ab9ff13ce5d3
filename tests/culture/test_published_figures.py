"""Figures of the fact sheet that the culture room can compute, each with the source it was seen in."""

from __future__ import annotations

import math

import pytest

from bot.culture.curve import Feeding
from bot.culture.feeds import feed
from bot.culture.jar import fill
from bot.culture.measures import convert, to_celsius
from bot.culture.units import to_unit
from tests.culture.fact_sheet import rows


@pytest.mark.parametrize(
    ("fahrenheit", "celsius", "source"),
    [
        (40.0, 4.4, "F-121, F-145: USDA FSIS, Danger Zone; FDA: fridge at or below 40 °F"),
        (140.0, 60.0, "F-121, F-122: USDA FSIS, Danger Zone"),
        (41.0, 5.0, "F-123: FDA Food Code, cold holding"),
        (135.0, 57.2, "F-123: FDA Food Code, hot holding"),
        (90.0, 32.2, "F-124: USDA FSIS, one hour above 90 °F"),
        (190.0, 88.0, "F-143: common practice, bread is done"),
        (200.0, 93.0, "F-143: common practice, bread is done"),
        (210.0, 99.0, "F-143: common practice, lean sourdough"),
        (97.0, 36.0, "F-211: a home log, oven with the lamp on"),
        (85.0, 29.4, "F-027: rec.food.sourdough FAQ 37, yeast retarded much above"),
    ],
)
def test_temperatures_told_in_fahrenheit(fahrenheit: float, celsius: float, source: str) -> None:
    assert to_celsius(fahrenheit, "F") == pytest.approx(celsius, abs=0.4), source


@pytest.mark.parametrize(
    ("amount", "of", "to", "rounded", "source"),
    [
        ("1 tsp", "water", "ml", 5.0, "F-157: NIST SP 430; F-158: 21 CFR 101.9(b)(5)(viii)"),
        ("1 tbsp", "water", "ml", 15.0, "F-157: NIST SP 430; F-158: 21 CFR 101.9(b)(5)(viii)"),
        ("1 cup", "water", "ml", 240.0, "F-157: NIST SP 430; F-158: 21 CFR 101.9(b)(5)(viii)"),
        ("1 fl oz", "water", "ml", 30.0, "F-158: 21 CFR 101.9(b)(5)(viii)"),
        ("1 oz", "flour", "g", 28.0, "F-157: NIST SP 430; F-158: 21 CFR 101.9(b)(5)(viii)"),
    ],
)
def test_kitchen_roundings_are_within_two_percent_of_the_exact_units(
    amount: str, of, to: str, rounded: float, source: str
) -> None:
    assert convert(amount, of, to).value == pytest.approx(rounded, rel=0.02), source


@pytest.mark.parametrize("row", [row for row in rows("units") if row["exact"] == "rounded"], ids=lambda row: row["unit"])  # fmt: skip
def test_label_units_are_roundings_of_ours(row: dict[str, str]) -> None:
    """F-158: 21 CFR 101.9(b)(5)(viii), published."""
    names = {"cup": "cup", "tbsp": "tablespoon", "tsp": "teaspoon", "oz": "ounce"}
    unit = names[row["unit"].removesuffix("_label")]

    exact = to_unit(1.0, unit, "gram" if row["to"] == "g" else "millilitre")

    assert exact == pytest.approx(float(row["factor"]), rel=0.02)


def test_twice_sixteen_spoons_is_two_cups_and_two_cups_a_pint() -> None:
    """F-148 to F-151, F-154: exact US definitions (1 gal = 231 cubic inches)."""
    assert to_unit(16.0, "tablespoon", "cup") == pytest.approx(1.0, rel=1e-12)
    assert to_unit(3.0, "teaspoon", "tablespoon") == pytest.approx(1.0, rel=1e-12)
    assert to_unit(2.0, "cup", "pint") == pytest.approx(1.0, rel=1e-12)
    assert to_unit(1.0, "gallon", "millilitre") == pytest.approx(231 * 2.54**3, rel=1e-12)


@pytest.mark.parametrize(("parts", "dilution", "log"), [
    (1, 3, 1.099), (2, 5, 1.609), (3, 7, 1.946), (5, 11, 2.398), (10, 21, 3.045),
])  # fmt: skip
def test_a_feed_of_n_parts_dilutes_by_twice_n_and_one(
    parts: int, dilution: int, log: float
) -> None:
    """F-100, F-101: published as plain arithmetic."""
    found = Feeding(ratio=(1.0, parts, parts), celsius=24.0).dilution

    assert found == pytest.approx(dilution)
    assert math.log(found) == pytest.approx(log, abs=5e-4)


@pytest.mark.parametrize(("flour_g", "low", "high"), [(130.0, 0.9, 1.1), (140.0, 0.9, 1.16)])
def test_a_scooped_cup_is_heavier_but_within_the_range(
    flour_g: float, low: float, high: float
) -> None:
    """F-166, published: scooped 130-140 g or more; F-169, common practice: about 15 % either way."""
    cup = convert("1 cup", "flour", "g")

    assert cup.low <= flour_g <= cup.high
    assert low <= flour_g / cup.value <= high
    assert cup.high / cup.value == pytest.approx(1.15, abs=0.02)


@pytest.mark.parametrize(("ratio", "density"), [(2.0, 0.55), (3.0, 0.37)])
def test_a_risen_starter_is_as_light_as_its_height_says(ratio: float, density: float) -> None:
    """F-075, arithmetic; F-173, from memory: 1.10 over the height ratio, in g/mL."""
    found = fill(1000.0, 30.0, 30.0, 30.0, ratio)

    assert 90.0 / found.top_ml == pytest.approx(density, abs=0.005)


def test_three_kinds_of_percent_starter_are_three_numbers() -> None:
    """F-182, published as definitions: of new flour, of the total, of all flour prefermented."""
    fed = feed((1.0, 2.0, 2.0), 20.0)

    shares = (fed.starter_on_new_flour, fed.starter_on_total, fed.prefermented_flour)

    assert shares == pytest.approx((0.5, 0.2, 0.2))
