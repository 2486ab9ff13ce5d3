"""Ready: full rises in time, in a row, day 7 or later (F-190 to F-192, common practice)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.culture.growth import yeast_per_h
from bot.culture.outcomes import Look, Outcome
from bot.culture.quantities import Range
from bot.culture.readiness import Readiness, chance_of_next, readiness, standing, window_h
from bot.culture.vigour import When
from bot.culture.vocabulary import Flour
from bot.errors import InputError

MIXED = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def rose(
    ratio: float = 2.0,
    hours: float | None = 6.0,
    celsius: float | None = 24.0,
    *,
    day: int = 9,
    flour: Flour = "white",
    when: When = "at",
) -> Outcome:
    seen_at = MIXED + timedelta(days=day - 1)
    seen = Range(ratio, ratio)
    return Outcome(
        fed_at=None if hours is None else seen_at - timedelta(hours=hours),
        ratio=(1.0, 1.0, 1.0),
        celsius=celsius,
        flours=(flour,),
        rise=seen,
        hours=hours,
        when=when,
        seen_at=seen_at,
        told=True,
        looks=(Look(rise=seen, hours=hours, when=when, seen_at=seen_at),),
    )


def lacks(found: Readiness) -> set[str]:
    return {missing.what for missing in found.missing}


def test_day_nine_three_doublings_in_time_is_ready() -> None:
    found = readiness([rose(day=7), rose(day=8), rose(day=9)], day=9)

    assert found.ready
    assert found.missing == ()
    assert chance_of_next([rose(day=7), rose(day=8), rose(day=9)], day=9) > 0.8


@pytest.mark.parametrize(
    ("feeds", "day", "wanted"),
    [
        ([rose(), rose(), rose()], 6, {"days"}),
        ([rose(), rose()], 9, {"rises"}),
        ([rose(), rose(), rose(1.8)], 9, {"rises", "height"}),
        ([rose(), rose(1.8), rose()], 9, {"rises"}),
        ([rose(), rose(), rose(hours=10.0)], 9, {"rises", "speed"}),
        ([rose(), rose(), rose(hours=None)], 9, {"rises", "time"}),
        ([rose(), rose(), rose(celsius=None)], 9, {"rises", "warmth"}),
        ([], 30, {"rises"}),
    ],
    ids=["too early", "two only", "last too low", "one too low", "too slow", "no time", "no warmth", "nothing"],
)  # fmt: skip
def test_take_one_part_away_and_it_is_not(
    feeds: Sequence[Outcome], day: int, wanted: set[str]
) -> None:
    """F-190 by fact sheet section 9."""
    found = readiness(feeds, day=day)

    assert not found.ready
    assert lacks(found) == wanted


@pytest.mark.parametrize("day", [2, 3])
def test_the_big_rise_of_day_two_or_three_is_never_ready(day: int) -> None:
    """F-054, F-057, published (Bread Lines, trials of 2002-2008): bacteria, not yeast."""
    tripled = [rose(3.0, day=day)] * 3

    for found in (
        readiness(tripled, day=day, started_at=MIXED),
        readiness(tripled, day=day),
    ):
        assert not found.ready
        assert found.in_a_row == 0
        assert lacks(found) == {"days", "rises"}
    assert chance_of_next(tripled, day=day, started_at=MIXED) < 0.05
    assert chance_of_next(tripled, day=day) < 0.05


def test_false_rises_do_not_count_once_the_day_has_come() -> None:
    found = readiness([rose(3.0, day=2), rose(3.0, day=3), rose(day=7)], day=7, started_at=MIXED)

    assert (found.ready, found.in_a_row) == (False, 1)


def test_a_culture_that_was_ready_before_needs_two() -> None:
    assert readiness([rose(), rose()], day=40, was_ready=True).ready


def test_half_a_rise_more_is_full_strength_for_rye_and_not_for_white() -> None:
    """F-082, S-26, common practice."""
    rye = [rose(1.5, 5.0, flour="rye") for _ in range(3)]

    assert readiness(rye, day=9).ready
    assert not readiness([rose(1.5, 5.0) for _ in range(3)], day=9).ready


@pytest.mark.parametrize(
    ("celsius", "hours"), [(18.0, 16.0), (20.0, 8.0), (21.0, 12.0), (25.0, 5.0), (26.0, 8.0)]
)
def test_a_doubling_within_the_window_of_its_warmth_counts(celsius: float, hours: float) -> None:
    """F-191, common practice: 4-8 h at 24-26 °C, 12 h at 21 °C, 16 h at 18 °C."""
    assert standing(rose(hours=hours, celsius=celsius)) == "full"


@pytest.mark.parametrize(
    ("celsius", "hours"), [(18.0, 17.0), (21.0, 13.0), (24.0, 8.5), (27.0, 9.0)]
)
def test_a_doubling_after_its_window_is_slow(celsius: float, hours: float) -> None:
    assert standing(rose(hours=hours, celsius=celsius)) == "slow"


@pytest.mark.parametrize(("celsius", "scaled"), [(21.0, 11.3), (18.0, 17.8)])
def test_the_trade_s_window_is_near_the_growth_curve_s(celsius: float, scaled: float) -> None:
    """F-191: scaling 8 h by the yeast curve (from memory) gives 11.3 and 17.8."""
    by_curve = 8.0 * yeast_per_h(24.0) / yeast_per_h(celsius)

    assert by_curve == pytest.approx(scaled, abs=0.1)
    assert window_h(celsius) == pytest.approx(by_curve, rel=0.12)


def test_a_leaner_feed_gets_a_longer_window() -> None:
    assert window_h(24.0, (1.0, 5.0, 5.0)) > 1.5 * window_h(24.0, (1.0, 1.0, 1.0))


def test_doubled_some_time_in_the_night_is_neither_in_time_nor_slow() -> None:
    assert standing(rose(hours=12.0, when="by")) == "no-time"


def test_not_yet_at_noon_is_still_open() -> None:
    not_yet = rose(2.0, 4.0, when="not-by")

    assert standing(not_yet) == "open"
    assert readiness([rose(), rose(), rose(), not_yet], day=9).ready


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(
            st.floats(min_value=1.0, max_value=3.0),
            st.one_of(st.none(), st.floats(min_value=0.5, max_value=48.0)),
            st.one_of(st.none(), st.floats(min_value=0.0, max_value=60.0)),
        ),
        max_size=6,
    ),
    st.floats(min_value=0.0, max_value=60.0),
)
def test_never_before_day_seven_never_on_the_calendar_alone(feeds, day: float) -> None:
    seen = [rose(*feed) for feed in feeds]

    found = readiness(seen, day=day)

    assert 0.0 <= chance_of_next(seen, day=day) <= 1.0
    assert not (found.ready and (day < 7 or len(feeds) < 3))
    assert found.ready == (found.missing == ())


@pytest.mark.parametrize("day", [-1.0, float("nan"), float("inf")])
def test_an_impossible_day_is_refused(day: float) -> None:
    with pytest.raises(InputError, match="day"):
        readiness([], day=day)
