"""The first weeks: which phase is likely, and when a rise can be relied on."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.culture.fold import fold
from bot.culture.journal import Began, Entry, KitchenSet, Reported
from bot.culture.phases import PHASES, Phase, Seen, phase, phase_of, ripe_days, speed
from bot.culture.vocabulary import Bubbles, Flour, Rise, Signs
from bot.errors import InputError
from tests.culture.fact_sheet import rows

MIXED = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)

NAMES: dict[str, Phase] = {
    "wetting": "wetting", "early gas": "early-gas", "lull": "lull", "yeast comes": "settling",
    "steady": "steady",
}  # fmt: skip


def looked(age_days: float, ratio: float | None = None, bubbles: Bubbles | None = None) -> Seen:
    rise = None if ratio is None else Rise(ratio=ratio, low=ratio, high=ratio)
    return Seen(age_days=age_days, signs=Signs(rise=rise, bubbles=bubbles))


@pytest.mark.parametrize("row", rows("succession"), ids=lambda row: row["phase"])
def test_each_phase_is_the_likely_one_in_the_middle_of_its_days(row: dict[str, str]) -> None:
    """succession.csv: organisms and maturity (F-047, F-048) published, days partly common practice."""
    middle = (float(row["day_from"]) + float(row["day_to"])) / 2
    if row["phase"] == "steady":
        middle = float(row["day_to"])

    assert phase(age_days=middle, celsius=22.0).likely == NAMES[row["phase"]]


def test_a_tripled_jar_on_day_two_is_early_gas_and_not_nearly_steady() -> None:
    """F-054, F-057, published: the early gas is bacteria's, and a still time follows."""
    view = phase(age_days=2.0, celsius=22.0, seen=[looked(2.0, 3.0, "many")])

    assert view.likely == "early-gas"
    assert view.chance("steady") < 0.001
    assert view.reliable_in_days.low > 3.0


@pytest.mark.parametrize("age_days", [4.0, 4.5])
def test_a_dead_looking_day_four_or_five_is_the_lull(age_days: float) -> None:
    """F-057, F-059, published."""
    view = phase(
        age_days=age_days,
        celsius=22.0,
        seen=[looked(2.0, 2.5, "many"), looked(age_days, 1.0, "none")],
    )

    assert view.likely == "lull"
    assert view.reliable_in_days.high < 14.0


def test_a_still_jar_after_a_week_puts_the_end_off() -> None:
    still = phase(age_days=8.0, celsius=22.0, seen=[looked(8.0, 1.0, "none")])
    lively = phase(age_days=8.0, celsius=22.0, seen=[looked(8.0, 2.0, "many")])

    assert still.reliable_in_days.median > lively.reliable_in_days.median
    assert still.chance("steady") < lively.chance("steady")


@pytest.mark.parametrize(
    ("celsius", "flour", "low", "high"),
    [
        (21.0, "white", 7.0, 14.0), (25.0, "white", 5.5, 14.0), (22.0, "rye", 5.0, 10.0),
        (22.0, "wholewheat", 5.0, 10.0), (18.0, "white", 14.0, 21.0),
    ],
)  # fmt: skip
def test_the_days_to_a_dependable_rise(
    celsius: float, flour: Flour, low: float, high: float
) -> None:
    """F-068, common practice: 7-14 at 21-25 °C, wholegrain 5-10, 14-21 at 18 °C."""
    wait = phase(age_days=0.0, celsius=celsius, flours=(flour,)).reliable_in_days

    assert low <= wait.median <= high
    assert wait.low < wait.median < wait.high


def test_eighteen_degrees_takes_about_twice_the_calendar_of_twenty_five() -> None:
    """F-069, from memory: 1.5 to 2 times at 18 °C, 0.7 at 27 °C."""
    cold, warm = (phase(age_days=0.0, celsius=c).reliable_in_days.median for c in (18.0, 25.0))

    assert 1.8 <= cold / warm <= 2.6
    assert 1.5 <= 1.0 / speed(18.0) <= 2.0
    assert 0.6 <= 1.0 / speed(27.0) <= 0.75


def test_warmth_adds_up_day_by_day() -> None:
    changing = ripe_days([(3.0, 18.0), (3.0, 26.0)])

    assert changing == pytest.approx(3.0 * speed(18.0) + 3.0 * speed(26.0))


def test_a_culture_of_the_fold_has_its_warmth_counted_as_it_was_told() -> None:
    began = Began(name="Biscuit", flour="white", method="full", started_at=MIXED)

    def lived(celsius: float):
        still = Reported(text="", signs=Signs(bubbles="few"))
        entries = [
            Entry(number=1, at=MIXED, event=KitchenSet(celsius=celsius)),
            Entry(number=2, at=MIXED, event=began, culture="c1"),
            Entry(number=3, at=MIXED + timedelta(days=6), event=still, culture="c1"),
        ]
        culture = fold("p", entries).cultures[0]
        view = phase_of(culture, MIXED + timedelta(days=8), kitchen_c=celsius)
        assert view is not None
        return view

    assert lived(26.0).chance("steady") > lived(18.0).chance("steady")
    assert lived(18.0).reliable_in_days.median > 2 * lived(26.0).reliable_in_days.median


@settings(deadline=None)
@given(
    st.floats(min_value=0.0, max_value=60.0),
    st.floats(min_value=-5.0, max_value=60.0),
    st.lists(
        st.builds(
            looked,
            age_days=st.floats(min_value=0.0, max_value=60.0),
            ratio=st.one_of(st.none(), st.floats(min_value=1.0, max_value=4.0)),
            bubbles=st.sampled_from([None, "none", "few", "some", "many"]),
        ),
        max_size=6,
    ),
)
def test_any_age_warmth_and_signs_give_chances_that_add_up(
    age_days: float, celsius: float, seen: list[Seen]
) -> None:
    view = phase(age_days=age_days, celsius=celsius, seen=seen)

    assert sum(view.chances) == pytest.approx(1.0)
    assert view.likely in PHASES
    assert 0.0 <= view.reliable_in_days.low <= view.reliable_in_days.high <= 90.0


@settings(deadline=None)
@given(st.floats(min_value=0.0, max_value=30.0), st.floats(min_value=0.0, max_value=5.0))
def test_no_phase_comes_back(age_days: float, later: float) -> None:
    now, then = (phase(age_days=age, celsius=22.0) for age in (age_days, age_days + later))

    assert then.chance("steady") >= now.chance("steady") - 1e-12


def test_a_negative_age_is_refused() -> None:
    with pytest.raises(InputError, match="age_days"):
        phase(age_days=-1.0)
