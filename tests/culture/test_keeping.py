"""Keeping and neglect, against the fact sheet's table (F-193 to F-198, common practice, no source)."""

from __future__ import annotations

import math

import pytest

from bot.culture.keeping import (
    KEEP_G,
    Place,
    head_start_h,
    keeping,
    place_at,
    revival,
    slower,
)
from bot.errors import InputError
from tests.culture.fact_sheet import rows

DAYS: dict[str, tuple[Place, float, bool]] = {
    "mature, up to 7 days since feed": ("fridge", 6.0, True),
    "8-14 days": ("fridge", 11.0, True),
    "15-60 days": ("fridge", 40.0, True),
    "61-180 days": ("fridge", 120.0, True),
    "over 180 days": ("fridge", 200.0, True),
    "culture not yet ready": ("fridge", 2.0, False),
    "mature, 1 missed feed": ("counter", 1.5, True),
    "2-3 days": ("counter", 2.5, True),
    "4-14 days": ("counter", 9.0, True),
    "over 14 days": ("counter", 20.0, True),
    "over 2 days unfed": ("hot-counter", 3.0, True),
    "up to 3 months": ("freezer", 80.0, True),
    "up to 24 months": ("dried", 700.0, True),
}


@pytest.mark.parametrize("row", rows("storage"), ids=lambda row: f"{row['place']}, {row['state']}")
def test_every_row_of_the_table_has_its_verdict(row: dict[str, str]) -> None:
    place, days, ready = DAYS[row["state"]]

    assert keeping(place, days, ready=ready).verdict == row["verdict"]


@pytest.mark.parametrize(
    ("days", "low", "high"), [(11.0, 1.0, 2.0), (40.0, 2.0, 4.0), (120.0, 3.0, 6.0)]
)
def test_longer_in_the_fridge_takes_more_feeds_to_wake(
    days: float, low: float, high: float
) -> None:
    assert (keeping("fridge", days).feeds.low, keeping("fridge", days).feeds.high) == (low, high)


def test_a_revival_feeds_every_twelve_to_twenty_four_hours() -> None:
    """F-196, common practice: keep 10-20 g, 1:1:1 to 1:2:2, every 12-24 h."""
    warm = revival(keeping("fridge", 40.0), 25.0)
    cold = revival(keeping("fridge", 40.0), 18.0)

    assert (warm.every_h, cold.every_h) == (12.0, 24.0)
    assert (warm.days.low, warm.days.high) == (1.0, 2.0)
    assert warm.keep_g == KEEP_G
    assert warm.ratio == (1.0, 1.0, 1.0)


def test_in_the_fridge_it_sleeps_and_in_a_cool_room_it_is_slow() -> None:
    """F-008, published anchor: no yeast growth at 8 °C; read as asleep, not dead."""
    assert slower(4.0) is None
    assert slower(8.0) is None
    assert slower(24.0) == pytest.approx(1.0)
    assert 2.0 < (slower(18.0) or math.inf) < 2.5


def test_a_fed_jar_gets_one_to_three_hours_before_the_cold() -> None:
    """F-194, common practice."""
    assert head_start_h(27.0) < head_start_h(20.0)
    assert all(1.0 <= head_start_h(celsius) <= 3.0 for celsius in (10.0, 18.0, 24.0, 30.0))


def test_a_hot_counter_is_a_place_of_its_own() -> None:
    assert place_at(24.0) == "counter"
    assert place_at(28.0) == "hot-counter"


@pytest.mark.parametrize("days", [-1.0, math.nan, math.inf])
def test_impossible_days_are_refused(days: float) -> None:
    with pytest.raises(InputError, match="0 to 36,500"):
        keeping("fridge", days)
