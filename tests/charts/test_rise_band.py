"""The heights along a rise agree with the forecast of its hours and with the laws of a spread."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.culture.curve import Feeding
from bot.culture.rise import chance_by, forecast
from bot.culture.rise_band import heights
from bot.culture.vigour import Observation, learn

FEED = Feeding(ratio=(1.0, 2.0, 2.0), celsius=22.0)


def test_nothing_has_risen_at_the_feed() -> None:
    (spread,) = heights(FEED, [0.0])

    assert (spread.low, spread.median, spread.high) == (1.0, 1.0, 1.0)


def test_the_middle_doubles_when_the_forecast_says_so() -> None:
    double_h = forecast(FEED).double_h.median

    (spread,) = heights(FEED, [double_h])

    assert spread.median == pytest.approx(2.0, abs=0.12)


@pytest.mark.parametrize("rise", [1.2, 1.5, 1.8])
def test_before_the_peak_the_edges_are_the_chances_of_that_height(rise: float) -> None:
    hours = [hour / 4 for hour in range(4, 17)]

    for hour, spread in zip(hours, heights(FEED, hours), strict=True):
        chance = chance_by(FEED, hour, rise=rise)
        if chance < 0.05:
            assert spread.high < rise
        if 0.2 < chance < 0.8:
            assert spread.low < rise < spread.high


def test_reports_make_the_band_narrower() -> None:
    seen = [Observation(feeding=FEED, rise=2.0, hours=6.0) for _ in range(5)]
    hours = [4.0, 6.0, 8.0]

    before, after = heights(FEED, hours), heights(FEED, hours, learn(seen))

    assert all(
        known.high - known.low < unknown.high - unknown.low
        for known, unknown in zip(after, before, strict=True)
    )


@given(
    part=st.floats(0.5, 10.0),
    celsius=st.floats(5.0, 33.0),
    hours=st.lists(st.floats(0.0, 200.0), min_size=1, max_size=4),
)
def test_any_feed_has_heights_in_order_from_one_up(
    part: float, celsius: float, hours: list[float]
) -> None:
    feeding = Feeding(ratio=(1.0, part, part), celsius=celsius)

    for spread in heights(feeding, hours):
        assert 1.0 <= spread.low <= spread.median <= spread.high < 6.0
