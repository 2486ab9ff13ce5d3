"""A grown culture at home: where it stands, and on which mornings it is worth a word."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta, tzinfo
from typing import Literal, TypeAlias, assert_never

from bot.culture.keeping import FRIDGE_FEED_DAYS, Keeping, keeping
from bot.culture.outcomes import outcomes
from bot.culture.state import Culture

Standing: TypeAlias = Literal["growing", "counter", "fridge", "baking"]
"""``growing`` until its keeper has chosen what comes after the gate; then by where it stands."""

WEEK = timedelta(days=FRIDGE_FEED_DAYS)
NEGLECTED_DAYS = 4
"""A gap between feeds on the counter from which it takes a revival (storage.csv, common practice)."""
COLD_DAYS = 15
"""The same in the fridge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RevivalProgress:
    """``feed`` counts the feeds since the long gap, this morning's included; ``of`` is what it takes."""

    feed: int
    low: int
    high: int


def standing(culture: Culture) -> Standing:
    """Where a culture is in its life."""
    chosen = culture.chosen
    if chosen is None:
        return "growing"
    if culture.spot == "fridge":
        return "fridge"
    moved_since = culture.spot_since is not None and (
        culture.chosen_at is not None and culture.spot_since > culture.chosen_at
    )
    return "baking" if chosen.choice == "bake" and not moved_since else "counter"


def wants_morning(
    culture: Culture, local_day: date, zone: tzinfo, *, back_on: date | None = None
) -> bool:
    """Whether that local day's morning is worth a word: daily on the counter, weekly in the cold.

    On the day the keeper comes back (``back_on``) every jar is.
    """
    where = standing(culture)
    match where:
        case "growing":
            return True
        case "counter":
            # Taken out at nine, it is spoken of then; the next morning is tomorrow's.
            moved = culture.spot_since
            return moved is None or local_day > moved.astimezone(zone).date()
        case "baking":
            return False
        case "fridge":
            return local_day == back_on or local_day >= _last_care(culture, zone) + WEEK
        case _:
            assert_never(where)


def keeps_in_cold(culture: Culture, local_day: date, zone: tzinfo) -> tuple[int, Keeping]:
    """Days in the cold since the last feed, and what becomes of the jar after so many."""
    days = max(0, (local_day - _last_fed(culture, zone)).days)
    return days, keeping("fridge", float(days))


def revival_of(culture: Culture) -> RevivalProgress | None:
    """Where the revival of a neglected culture stands; None when there is none, or it is over."""
    if standing(culture) != "counter":
        return None
    feeds = culture.feeds
    for index in range(len(feeds) - 1, 0, -1):
        gap = (feeds[index].at - feeds[index - 1].at).days
        cold = culture.chosen is not None and culture.chosen.choice == "rest"
        if gap >= (COLD_DAYS if cold else NEGLECTED_DAYS):
            back_at = feeds[index].at
            risen = [
                seen
                for seen in outcomes(culture)
                if seen.seen_at > back_at and seen.rise.low >= 2.0
            ]
            if risen:
                return None
            wanted = keeping("fridge" if cold else "counter", float(gap)).feeds
            done = len(feeds) - index
            return RevivalProgress(
                feed=done + 1, low=max(1, round(wanted.low)), high=max(1, round(wanted.high))
            )
    return None


def _last_fed(culture: Culture, zone: tzinfo) -> date:
    feeds = culture.feeds
    at = feeds[-1].at if feeds else culture.started_at or culture.began_at
    return at.astimezone(zone).date()


def _last_care(culture: Culture, zone: tzinfo) -> date:
    """The last day it was fed, put away or spoken of in the morning."""
    days = [_last_fed(culture, zone), *culture.mornings]
    if culture.spot_since is not None:
        days.append(culture.spot_since.astimezone(zone).date())
    return max(days)
