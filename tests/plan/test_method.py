"""Methods are data that a baker may change; a slip names its place."""

from __future__ import annotations

from importlib import resources

import pytest

from bot.culture.jar import fill
from bot.culture.measures import grams_of, kitchen_measure
from bot.errors import HandbookError
from bot.plan.method import method, method_from, method_ids


def written(method_id: str = "full") -> str:
    file = resources.files("bot.handbook") / "methods" / f"{method_id}.toml"
    return file.read_text(encoding="utf-8")


def test_there_is_the_usual_method_and_a_thrifty_one() -> None:
    assert method_ids() == ("full", "thrifty")


def test_a_full_day_is_four_ounces_of_flour_and_half_a_cup_of_water() -> None:
    # Common practice; 1 oz = 28.349523 g and 1 cup = 236.588 ml are exact (NIST Handbook 44 App. C,
    # from memory: F-148, F-152).
    for day in method("full").days:
        assert kitchen_measure(day.flour_g, "white", "us").ounces == 4.0
        assert abs(day.water_g - grams_of("1/2 cup", "water").middle) < 0.5


def test_two_heaping_tablespoons_weigh_what_is_carried_over() -> None:
    # F-176, common practice: 25-35 g a heaping tablespoon of stirred-down starter.
    for day in method("full").days[1:]:
        assert day.keep_words == "two heaping tablespoons"
        assert 2 * 25 <= day.keep_g <= 2 * 35


def test_the_thrifty_method_uses_a_quarter_of_the_flour() -> None:
    full, thrifty = method("full"), method("thrifty")

    for large, small in zip(full.days, thrifty.days, strict=True):
        assert small.flour_g == pytest.approx(large.flour_g / 4, abs=0.5)
        assert small.water_g == pytest.approx(large.water_g / 4, abs=0.5)
        assert small.keep_g == pytest.approx(large.keep_g / 4, abs=0.5)


@pytest.mark.parametrize("method_id", ["full", "thrifty"])
def test_the_jar_of_a_method_holds_it_at_three_times_its_height_with_a_quarter_to_spare(
    method_id: str,
) -> None:
    # F-179, common practice: V0 = m / 1.10, V0 * r * 1.25 at most the jar.
    plan = method(method_id)

    for day in (*plan.days, plan.onward):
        assert fill(plan.jar_ml, day.keep_g, day.flour_g, day.water_g, 3.0).fits


@pytest.mark.parametrize("method_id", ["full", "thrifty"])
def test_a_method_has_seven_days_and_goes_on_alike_after_them(method_id: str) -> None:
    plan = method(method_id)

    assert len(plan.days) == 7
    assert plan.days[0].keep_g == 0
    assert all(day.keep_g > 0 for day in plan.days[1:])
    assert plan.on(8) == plan.on(30) == plan.onward


def test_the_rises_are_those_of_the_trade_s_table() -> None:
    # F-218 (rise_by_day.csv), common practice.
    table = {
        1: (1.0, 1.2),
        2: (1.0, 3.0),
        3: (1.0, 3.0),
        4: (1.0, 1.3),
        5: (1.0, 1.5),
        6: (1.0, 1.8),
        7: (1.2, 2.2),
    }

    for number, rises in table.items():
        day = method("full").on(number)
        assert (day.rise_low, day.rise_high) == rises


def test_no_method_is_fed_at_a_ratio_out_of_the_trade_s_range_in_warmth() -> None:
    # F-210, common practice: 1:3:3 to 1:5:5 above 28 °C.
    for method_id in method_ids():
        plan = method(method_id)
        assert 3 <= plan.onward.flour_g / plan.kitchen.warm_keep_g <= 5


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ("flour_g = 113", "flour_g = -1", "day 1: flour_g"),
        ("flour_g = 113", 'flour_g = "113"', "day 1: flour_g"),
        ("flour_g = 113", "flour_g = true", "day 1: flour_g"),
        ("water_g = 118\n", "", "day 1: water_g: is missing"),
        ("\nday = 3\n", "\nday = 4\n", "day 3: day: wants 3"),
        ("rise = [1.0, 1.3]", "rise = [1.3, 1.0]", "day 4: rise"),
        ("keep_g = 60", "keep_g = 0", "day 2: keep_words"),
        ('id = "full"', 'id = "fool"', "id: wants 'full'"),
        ("jar_ml = 1000", "jar_ml = 1000\nlid = 1", "lid: there is no such key"),
        ("[onward]", "[afterwards]", "onward: is missing"),
        ("warm_above_c = 28", "warm_above_c = 31", "kitchen: hot_above_c"),
        ('phase = "lull"', "phase = ", "line"),
    ],
)  # fmt: skip
def test_a_slip_in_a_method_names_file_and_key(old: str, new: str, place: str) -> None:
    text = written()
    assert old in text

    with pytest.raises(HandbookError) as fault:
        method_from(text.replace(old, new, 1), "full")

    assert "methods/full.toml" in str(fault.value)
    assert place in str(fault.value)


def test_an_unknown_method_is_one_clear_error() -> None:
    with pytest.raises(HandbookError, match="there is no 'grand'"):
        method("grand")
    with pytest.raises(HandbookError):
        method("../numbers")
