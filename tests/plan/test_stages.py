"""What a day brings to one jar in one kitchen."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.culture.fold import fold
from bot.culture.journal import (
    Began,
    Entry,
    Event,
    JarSet,
    KitchenSet,
    MorningsSet,
    NextChosen,
    Reported,
    ZoneSet,
)
from bot.culture.quantities import Range
from bot.culture.state import Dossier
from bot.culture.vocabulary import Fed, Moved, Rise, Signs, Spot, Temperature
from bot.plan.stages import MorningPlan, day_by_warmth, morning_plan

OSLO = ZoneInfo("Europe/Oslo")


def at(day: int, hour: int = 8, minute: int = 0) -> datetime:
    """Day 1 is 2 March 2026 in Oslo."""
    return datetime(2026, 3, 1, hour, minute, tzinfo=OSLO) + timedelta(days=day)


def fed(day: int, hour: int = 9, minute: int = 0) -> tuple[datetime, Event]:
    return at(day, hour, minute), Reported(text="fed", acts=(Fed(),))


def rose(day: int, ratio: float, hours: float, hour: int = 18) -> tuple[datetime, Event]:
    signs = Signs(
        rise=Rise(ratio=ratio, low=ratio, high=ratio),
        hours=hours,
        temperature=Temperature(celsius=24.0),
    )
    return at(day, hour), Reported(text="rose", signs=signs)


def kitchen(
    *events: tuple[datetime, Event],
    celsius: float | None = 21.0,
    started: datetime | None = None,
    method: str = "full",
) -> Dossier:
    mixed = started or at(1, 9)
    first: list[tuple[datetime, Event]] = [
        (mixed, ZoneSet(zone="Europe/Oslo")),
        (mixed, KitchenSet(celsius=celsius)),
        (mixed, MorningsSet(at=time(8))),
        (mixed, Began(name="Biscuit", flour="white", method=method, started_at=mixed)),
    ]
    journal = [
        Entry(number=number, at=when, event=event, culture=None if number <= 3 else "c1")
        for number, (when, event) in enumerate((*first, *events), 1)
    ]
    return fold("p", journal)


def plan_of(dossier: Dossier, day: int, hour: int = 8) -> MorningPlan:
    now = at(day, hour)
    return morning_plan(dossier, dossier.cultures[0], now.date(), now)


def test_day_1_is_the_local_day_of_the_first_mix() -> None:
    dossier = kitchen(started=at(1, 23, 30))

    assert plan_of(dossier, 2).day == 2
    assert plan_of(dossier, 9).day == 9


def test_an_ordinary_morning_asks_for_the_method_s_feed() -> None:
    plan = plan_of(kitchen(fed(2), fed(3)), 4)

    assert plan.feeding is not None
    assert (plan.feeding.keep_g, plan.feeding.flour_g, plan.feeding.water_g) == (60, 113, 118)
    assert (plan.missed_days, plan.fed_today_at, plan.feed_later_at) == (0, None, None)


def test_a_feed_logged_today_is_not_asked_for_again() -> None:
    plan = plan_of(kitchen(fed(2), fed(3, 6, 30)), 3)

    assert plan.feeding is None
    assert plan.fed_today_at == at(3, 6, 30)


def test_a_feed_is_of_the_day_in_the_keeper_s_own_zone() -> None:
    # 23:30 in Oslo is 22:30 UTC, still the same day there; half past midnight is the next.
    late = kitchen(fed(2, 23, 30))
    past_midnight = kitchen(fed(3, 0, 30))

    assert not plan_of(late, 3).already_fed_today
    assert plan_of(past_midnight, 3).already_fed_today


def test_a_keeper_who_feeds_in_the_evening_is_told_this_evening_s_hour() -> None:
    plan = plan_of(kitchen(fed(2, 20, 50)), 3)

    assert plan.feeding is not None
    assert plan.feed_later_at == at(3, 20, 50)


def test_days_without_a_logged_feed_are_counted() -> None:
    assert plan_of(kitchen(fed(2)), 3).missed_days == 0
    assert plan_of(kitchen(fed(2)), 5).missed_days == 2


def test_a_jar_in_the_fridge_is_not_fed() -> None:
    chilled = (at(3, 20), Reported(text="", acts=(Moved(to="fridge"),)))

    plan = plan_of(kitchen(fed(2), fed(3), chilled), 4)

    assert plan.in_fridge
    assert plan.feeding is None


def test_a_small_jar_is_warned_of_and_a_large_one_is_not() -> None:
    # F-179 (common practice): 291 g doubled want 291 / 1.10 * 2 * 1.25 = 661 ml.
    small = plan_of(kitchen(fed(2), fed(3), (at(3, 10), JarSet(jar_ml=500))), 4)
    large = plan_of(kitchen(fed(2), fed(3), (at(3, 10), JarSet(jar_ml=1000))), 4)
    close = plan_of(kitchen(fed(2), fed(3), (at(3, 10), JarSet(jar_ml=600))), 4)

    assert small.jar is not None and small.jar.room == "overflows"
    assert small.jar.needed_ml == pytest.approx(661.4, abs=0.1)
    assert close.jar is not None and close.jar.room == "tight"
    assert large.jar is None


def test_a_cold_kitchen_carries_more_over_and_a_warm_one_less() -> None:
    events = [fed(day) for day in range(2, 8)]

    cold, mild, warm = (plan_of(kitchen(*events, celsius=c), 8) for c in (16.0, 21.0, 29.0))

    assert cold.feeding and mild.feeding and warm.feeding
    assert cold.feeding.keep_g > mild.feeding.keep_g > warm.feeding.keep_g
    assert (cold.warmth, mild.warmth, warm.warmth) == ("cold", "mild", "warm")


@pytest.mark.parametrize(
    ("celsius", "warmth"),
    [
        (None, "unknown"), (8.0, "very-cold"), (10.0, "cold"), (17.9, "cold"), (18.0, "mild"),
        (28.0, "mild"), (28.5, "warm"), (30.5, "hot"), (38.0, "hot"),
    ],
)  # fmt: skip
def test_warmth_has_the_trade_s_bounds(celsius: float | None, warmth: str) -> None:
    # F-209, F-210, common practice: under 10, under 18, over 28, over 30 °C.
    assert plan_of(kitchen(celsius=celsius), 3).warmth == warmth


@pytest.mark.parametrize(
    ("celsius", "spot", "warmth"),
    [(15.0, "warm", "mild"), (31.0, "cool", "mild"), (15.0, "counter", "cold")],
)
def test_a_jar_in_a_warm_or_cool_spot_is_not_at_the_kitchen_s_warmth(
    celsius: float, spot: Spot, warmth: str
) -> None:
    moved = (at(2, 10), Reported(text="", acts=(Moved(to=spot),)))

    assert plan_of(kitchen(moved, celsius=celsius), 3).warmth == warmth


def test_in_the_cold_the_words_are_those_of_an_earlier_day() -> None:
    # F-069 (from memory): each phase takes 1.5 to 2 times as long at 18 °C, 0.7 times at 27 °C.
    assert day_by_warmth(7, 22.0) == 7
    assert 1 + 6 / 2 <= day_by_warmth(7, 18.0) <= 1 + 6 / 1.5
    assert day_by_warmth(7, 27.0) >= 1 + 6 / 0.75
    assert day_by_warmth(7, None) == 7


@settings(deadline=None)
@given(
    day=st.integers(1, 60),
    low=st.floats(5, 27),
    more=st.floats(0, 10),
)
def test_more_warmth_never_makes_a_day_earlier(day: int, low: float, more: float) -> None:
    high = min(27.0, low + more)

    assert day_by_warmth(day, low) <= day_by_warmth(day, high)


def test_before_the_seventh_day_there_is_no_gate() -> None:
    assert plan_of(kitchen(), 6).gate is None
    assert plan_of(kitchen(), 7).is_gate_day


def test_at_the_gate_full_rises_in_a_row_are_counted_and_the_rest_is_estimated() -> None:
    # F-190 (common practice): doubled in the window on three feeds in a row, day 7 or later.
    feeds = [fed(day) for day in range(2, 10)]

    quiet = plan_of(kitchen(*feeds, celsius=24.0), 9).gate
    one = plan_of(kitchen(*feeds, rose(8, 2.2, 6.0), celsius=24.0), 9).gate
    three = [rose(day, 2.2, 6.0) for day in (7, 8, 9)]
    done = plan_of(kitchen(*sorted([*feeds, *three]), celsius=24.0), 10).gate  # type: ignore[type-var]

    assert quiet is not None and quiet.in_a_row == 0 and quiet.days is not None
    assert one is not None and one.in_a_row == 1 and not one.is_open
    assert done is not None and done.in_a_row == 3 and done.is_open and done.days is None


def test_a_jar_that_has_come_through_is_kept_on_less_flour_and_has_no_gate() -> None:
    chosen = (at(11, 10), NextChosen(choice="counter"))

    plan = plan_of(kitchen(*(fed(day) for day in range(2, 12)), chosen), 12)

    assert plan.gate is None
    assert plan.feeding is not None
    assert (plan.feeding.keep_g, plan.feeding.flour_g, plan.feeding.water_g) == (25, 50, 50)


def test_a_cold_kitchen_waits_longer_at_the_gate() -> None:
    feeds = [fed(day) for day in range(2, 7)]

    cold = plan_of(kitchen(*feeds, celsius=17.0), 7).gate
    mild = plan_of(kitchen(*feeds, celsius=24.0), 7).gate

    assert cold and mild and cold.days and mild.days
    assert cold.days.middle > mild.days.middle


def test_a_jar_that_was_never_mixed_has_no_plan() -> None:
    began = Began(name="Later", flour="rye", method="full")
    dossier = fold("p", [Entry(number=1, at=at(1), event=began, culture="c1")])

    with pytest.raises(ValueError, match="never mixed"):
        morning_plan(dossier, dossier.cultures[0], date(2026, 3, 3), at(2))


def test_a_keeper_with_amounts_of_their_own_is_told_those() -> None:
    own = Fed(flour_g=Range.exact(50), water_g=Range.exact(50), starter_g=Range.exact(25))
    report: tuple[datetime, Event] = (at(4, 9), Reported(text="", acts=(own,)))

    plan = plan_of(kitchen(report), 5)

    assert plan.feeding is not None
    assert (plan.feeding.keep_g, plan.feeding.flour_g, plan.feeding.water_g) == (25, 50, 50)


def test_a_rise_that_was_told_counts_as_a_feed_that_was_not() -> None:
    silent = plan_of(kitchen(), 9)
    told = plan_of(kitchen(rose(8, 2.0, 6)), 9)

    assert (silent.missed_days, told.missed_days) == (7, 0)
