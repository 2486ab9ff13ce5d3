"""How long a culture keeps where it stands, how the cold slows it, and what brings it back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, TypeAlias, get_args

from bot.culture.curve import COLDEST_C, HOTTEST_C, Feeding, work
from bot.culture.growth import REFERENCE_C, pace
from bot.culture.quantities import Range
from bot.culture.rise import forecast
from bot.culture.vigour import Vigour
from bot.culture.vocabulary import Ratio, Verdict
from bot.errors import HandbookError, InputError
from bot.handbook.book import table

Place: TypeAlias = Literal["fridge", "counter", "hot-counter", "freezer", "dried"]
Action: TypeAlias = Literal[
    "leave", "feed-before-baking", "feed-now", "feed-twice", "revive", "check-and-revive",
    "check-and-cool", "check-or-restart", "thaw-and-revive", "soak-and-feed", "take-out",
]  # fmt: skip

HOT_C = 28.0
"""A counter this warm spoils an unfed jar sooner (storage.csv, common practice)."""
FRIDGE_FEED_DAYS = 7.0
"""Fed once a week in the fridge (F-193, common practice)."""
REVIVAL: Ratio = (1.0, 1.0, 1.0)
KEEP_G = Range(10.0, 20.0)
"""What to keep of a neglected jar (F-196, common practice)."""
OLDEST_DAYS = 36_500.0
_EVERY_H = (12.0, 24.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """``feeds`` are the warm feeds that bring it back to strength; 0 low means it needs none to live."""

    verdict: Verdict
    action: Action
    feeds: Range


@dataclass(frozen=True, slots=True, kw_only=True)
class Revival:
    """Feeds at ``ratio`` every ``every_h`` hours, over ``days``, keeping ``keep_g`` each time."""

    feeds: Range
    ratio: Ratio
    every_h: float
    days: Range
    keep_g: Range


def keeping(place: Place, days_since_feed: float, *, ready: bool = True) -> Keeping:
    """What becomes of a jar left for so many days (storage.csv, common practice).

    ``ready`` is whether it was dependable before: one that was not does not belong in the fridge yet
    (F-195). Danger signs come before any of this. Raises InputError for days outside 0..36,500.
    """
    if not (math.isfinite(days_since_feed) and 0.0 <= days_since_feed <= OLDEST_DAYS):
        raise InputError(f"days_since_feed is {days_since_feed:g}: it must be 0 to 36,500")
    rows = _book()[place]
    row = next(keeps for up_to, keeps in rows if days_since_feed <= up_to)
    if place == "fridge" and not ready and row.verdict != "ask":
        return Keeping(verdict="adjust", action="take-out", feeds=row.feeds)
    return row


def place_at(celsius: float) -> Place:
    """The place of the table that a counter of that warmth is."""
    return "hot-counter" if celsius >= HOT_C else "counter"


def revival(keeps: Keeping, celsius: float, vigour: Vigour | None = None) -> Revival:
    """How to bring it back in a kitchen of that warmth, and in how many days.

    Each feed waits until the rise is likely over, but no less than 12 and no more than 24 hours
    (F-196, common practice).
    """
    at_c = min(HOTTEST_C, max(COLDEST_C, celsius))
    peak_h = forecast(Feeding(ratio=REVIVAL, celsius=at_c), vigour).peak_h.high
    every_h = _EVERY_H[0] if peak_h <= _EVERY_H[0] else _EVERY_H[1]
    return Revival(
        feeds=keeps.feeds,
        ratio=REVIVAL,
        every_h=every_h,
        days=keeps.feeds.scaled(every_h / 24.0),
        keep_g=KEEP_G,
    )


def slower(celsius: float) -> float | None:
    """How many times slower the culture works than at 24 °C; None where it as good as sleeps.

    The curve still shows a few percent of its peak below 8 °C where the published anchor says no
    growth (F-008): asleep, not dead.
    """
    speed = pace(celsius) / pace(REFERENCE_C)
    return None if speed < 0.06 else 1.0 / speed


def head_start_h(celsius: float) -> float:
    """How long a fed jar may begin to rise before it is chilled: 1 to 3 h (F-194), by the growth curve."""
    if not COLDEST_C <= celsius <= HOTTEST_C:
        raise InputError(f"celsius is {celsius:g}: it must be {COLDEST_C:g} to {HOTTEST_C:g} °C")
    shows = work(Feeding(ratio=REVIVAL, celsius=celsius), 0.1) / pace(celsius, 0.3)
    return min(3.0, max(1.0, shows))


@cache
def _book() -> Mapping[Place, tuple[tuple[float, Keeping], ...]]:
    rows = table("storage.toml")
    try:
        return MappingProxyType(
            {place: tuple(_row(row) for row in rows[place]) for place in get_args(Place)}
        )
    except (KeyError, TypeError, ValueError) as wrong:
        raise HandbookError(f"storage.toml: {wrong}") from wrong


def _row(row: Mapping[str, object]) -> tuple[float, Keeping]:
    match row:
        case {
            "up_to_days": int() | float() as days,
            "verdict": str() as verdict,
            "action": str() as action,
            "feeds": [int() | float() as fewest, int() | float() as most],
        } if verdict in get_args(Verdict) and action in get_args(Action):
            return float(days), Keeping(
                verdict=verdict,  # type: ignore[arg-type]
                action=action,  # type: ignore[arg-type]
                feeds=Range(float(fewest), float(most)),
            )
        case _:
            raise ValueError(f"a row wants up_to_days, verdict, action and feeds: {row}")
