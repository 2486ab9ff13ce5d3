"""A bake planned backwards, and a feed followed forwards."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.culture.curve import Feeding
from bot.culture.rise import forecast
from bot.culture.vigour import Observation, learn
from bot.errors import InputError
from bot.plan.bake import BakePlan, BakeWish, CannotBake, plan_bake
from bot.plan.ripening import after, before, ripening
from bot.plan.timeline import Awake, Kitchen

CET = timezone(timedelta(hours=1))
SATURDAY_NINE = datetime(2026, 3, 7, 9, 0, tzinfo=CET)
HOUR = timedelta(hours=1)


def wish(
    ripe_at: datetime = SATURDAY_NINE,
    *,
    celsius: float = 22.0,
    night_c: float | None = None,
    levain_g: float = 200.0,
    have_g: float = 50.0,
    hydration: float = 1.0,
    hours_ahead: float | None = None,
    awake: Awake = Awake(),  # noqa: B008  frozen
) -> BakeWish:
    return BakeWish(
        ripe_at=ripe_at,
        levain_g=levain_g,
        have_g=have_g,
        hydration=hydration,
        earliest=None if hours_ahead is None else ripe_at - hours_ahead * HOUR,
        kitchen=Kitchen(celsius=celsius, night_c=night_c, awake=awake),
    )


def planned(found: BakePlan | CannotBake) -> BakePlan:
    assert isinstance(found, BakePlan)
    return found


def test_a_morning_bake_takes_one_overnight_build() -> None:
    (step,) = planned(plan_bake(wish())).steps

    assert step.do == "levain"
    assert step.at.date() == SATURDAY_NINE.date() - timedelta(days=1)
    assert step.ready.low < step.ready.median < step.ready.high
    assert abs(step.ready.median - SATURDAY_NINE) <= timedelta(minutes=10)
    assert step.portions.total_g == pytest.approx(200.0)


def test_dough_at_five_in_the_afternoon_at_24_is_fed_that_morning() -> None:
    """F-187, common practice: about 5 h at 1:1:1, 7-8 h at 1:2:2 to 1:3:3."""
    (step,) = planned(plan_bake(wish(SATURDAY_NINE.replace(hour=17), celsius=24.0))).steps

    lean = step.portions.flour_g / step.portions.starter_g
    assert 1.0 <= lean <= 6.0
    assert 4.0 <= (SATURDAY_NINE.replace(hour=17) - step.at) / HOUR <= 10.5


def test_a_spoonful_of_starter_takes_two_builds_each_seeding_the_next() -> None:
    first, last = planned(plan_bake(wish(have_g=2.0))).steps

    assert (first.do, last.do) == ("build", "levain")
    assert first.portions.starter_g <= 2.0
    assert first.portions.total_g == pytest.approx(last.portions.starter_g)
    assert first.ready.median <= last.at + timedelta(minutes=10)


def test_too_soon_says_the_nearest_time_and_that_time_can_be_met() -> None:
    asked = wish(hours_ahead=3.0)

    found = plan_bake(asked)

    assert isinstance(found, CannotBake)
    assert found.why == "too-soon"
    assert found.nearest is not None and found.nearest > asked.ripe_at
    again = BakeWish(
        ripe_at=found.nearest,
        levain_g=200.0,
        have_g=50.0,
        earliest=asked.earliest,
        kitchen=asked.kitchen,
    )
    assert isinstance(plan_bake(again), BakePlan)


def test_a_thousandth_of_what_is_needed_cannot_be_built_in_time() -> None:
    found = plan_bake(wish(levain_g=90_000.0, have_g=0.01))

    assert found == CannotBake(why="too-little", nearest=None)


def test_a_cold_night_is_fed_for_earlier() -> None:
    """With the ratio held the same, half the night at 17 °C takes longer than all of it at 24 °C."""
    even, cold = Kitchen(celsius=24.0), Kitchen(celsius=24.0, night_c=17.0)

    assert before(SATURDAY_NINE, 10.0, cold) < before(SATURDAY_NINE, 10.0, even)
    step = planned(plan_bake(wish(celsius=24.0, night_c=17.0))).steps[-1]
    assert abs(step.ready.median - SATURDAY_NINE) <= timedelta(minutes=10)


def test_a_culture_known_to_be_quick_is_fed_later_or_leaner() -> None:
    feeding = Feeding(ratio=(1.0, 1.0, 1.0), celsius=22.0)
    quick = learn([Observation(feeding=feeding, rise=2.0, hours=2.2)] * 8)

    usual, known = planned(plan_bake(wish())).steps[-1], planned(plan_bake(wish(), quick)).steps[-1]

    leaner = known.portions.starter_g < usual.portions.starter_g
    assert known.at > usual.at or leaner
    assert known.ready.high - known.ready.low < usual.ready.high - usual.ready.low


def test_a_stiff_levain_is_at_its_hydration_and_takes_longer() -> None:
    (stiff,) = planned(plan_bake(wish(hydration=0.6))).steps

    assert stiff.portions.hydration == pytest.approx(0.6)
    assert stiff.portions.total_g == pytest.approx(200.0)


def test_a_night_worker_mixes_in_the_night() -> None:
    night = Awake(up=time(14, 0), down=time(2, 0))

    (step,) = planned(plan_bake(wish(awake=night, celsius=24.0))).steps

    assert night.at(step.at)


def test_the_night_the_clocks_go_forward_is_an_hour_short_on_the_wall_only() -> None:
    """Elapsed hours count, not the wall clock's: Berlin, 29 March 2026, 02:00 becomes 03:00."""
    berlin = ZoneInfo("Europe/Berlin")
    start = datetime(2026, 3, 28, 22, 0, tzinfo=berlin)

    end = after(start, 10.0, Kitchen(celsius=22.0))

    assert end.isoformat() == "2026-03-29T09:00:00+02:00"
    assert before(end, 10.0, Kitchen(celsius=22.0)) == start


def test_fed_now_it_peaks_then_is_past_its_best() -> None:
    feeding = Feeding(ratio=(1.0, 2.0, 2.0), celsius=24.0)
    fed_at = datetime(2026, 3, 7, 8, 0, tzinfo=UTC)

    found = ripening(feeding, fed_at, Kitchen(celsius=24.0))

    hours = (found.peak.median - fed_at) / HOUR
    assert hours == pytest.approx(forecast(feeding).peak_h.median)
    assert 0.5 <= (found.past.median - found.peak.median) / HOUR <= 4.0


wishes = st.builds(
    wish,
    ripe_at=st.datetimes(
        min_value=datetime(2026, 1, 1), max_value=datetime(2026, 12, 31),  # noqa: DTZ001
        timezones=st.sampled_from([CET, UTC, ZoneInfo("Europe/Berlin"), ZoneInfo("Asia/Kolkata")]),
    ),
    celsius=st.floats(min_value=14.0, max_value=31.0),
    night_c=st.one_of(st.none(), st.floats(min_value=12.0, max_value=22.0)),
    levain_g=st.floats(min_value=20.0, max_value=2000.0),
    have_g=st.floats(min_value=1.0, max_value=200.0),
    hydration=st.sampled_from([0.5, 0.6, 0.8, 1.0, 1.25]),
    hours_ahead=st.floats(min_value=1.0, max_value=96.0),
    awake=st.sampled_from([Awake(), Awake(up=time(5), down=time(21)), Awake(up=time(13), down=time(3))]),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(wishes)
def test_steps_are_in_waking_hours_in_order_and_come_to_what_was_asked(asked: BakeWish) -> None:
    found = plan_bake(asked)

    if isinstance(found, CannotBake):
        assert found.nearest is None or found.nearest > asked.first
        return
    assert found.steps[0].portions.starter_g <= asked.have_g + 1e-6
    assert all(asked.kitchen.awake.at(step.at) for step in found.steps)
    assert all(step.at >= asked.first for step in found.steps)
    for step, following in zip(found.steps, found.steps[1:], strict=False):
        assert step.at < following.at
        assert step.portions.total_g == pytest.approx(following.portions.starter_g)
        assert step.ready.median <= following.at + timedelta(minutes=10)
    last = found.steps[-1]
    assert last.portions.total_g == pytest.approx(asked.levain_g, rel=1e-9)
    assert last.portions.hydration == pytest.approx(asked.hydration, rel=1e-9)
    # In UTC: two times of one zone are subtracted by the wall clock, wrong across a change.
    late = last.ready.median.astimezone(UTC) - asked.ripe_at.astimezone(UTC)
    assert abs(late) <= timedelta(minutes=15)


@settings(deadline=None)
@given(
    st.floats(min_value=0.5, max_value=40.0),
    st.floats(min_value=10.0, max_value=28.0),
    st.integers(min_value=0, max_value=23),
)
def test_forwards_undoes_backwards(hours: float, night_c: float, hour: int) -> None:
    kitchen = Kitchen(celsius=24.0, night_c=night_c)
    end = SATURDAY_NINE.replace(hour=hour)

    assert abs(after(before(end, hours, kitchen), hours, kitchen) - end) < timedelta(minutes=2)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: wish(levain_g=0.0), "levain_g is 0: it must be more than 0"),
        (lambda: wish(have_g=-3.0), "have_g is -3"),
        (lambda: wish(hydration=100.0), "0.4 to 3"),
        (lambda: wish(celsius=55.0), "4..34 °C"),
        (lambda: wish(celsius=22.0, night_c=-4.0), "4..34 °C"),
        (lambda: wish(hours_ahead=-1.0), "from is not before ripe_at"),
    ],
)
def test_an_impossible_wish_is_refused(make, says: str) -> None:
    with pytest.raises(InputError, match=says):
        make()
