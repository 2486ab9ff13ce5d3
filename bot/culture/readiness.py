"""Whether a culture may bake: rises in full, in time, several feeds in a row; never the calendar alone.

The rule is F-190 (common practice): at least doubled within the window on three feeds in a row for a
new culture, two for one that was ready before, on day 7 or later. The window is the trade's (F-191),
8 h at 24-26 °C, 12 h at 21 °C, 16 h at 18 °C, and between them and beyond by the yeast's growth curve.
Smell and danger signs are the advice room's to weigh. A float is no part of it (F-192).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal, TypeAlias

from bot.culture.curve import COLDEST_C, HOTTEST_C, Feeding, work
from bot.culture.growth import yeast_per_h
from bot.culture.numbers import section
from bot.culture.outcomes import Outcome, observations
from bot.culture.phases import phase
from bot.culture.rise import chance_by
from bot.culture.vigour import learn
from bot.culture.vocabulary import Flour, Ratio
from bot.errors import InputError

Lack: TypeAlias = Literal["days", "rises", "height", "speed", "time", "warmth"]
"""What may still be wanted: more days, more full rises in a row, a higher or a quicker last rise, the
hours it took, the kitchen's temperature."""

Standing: TypeAlias = Literal["full", "short", "slow", "open", "no-time", "no-warmth"]
"""What one feed came to; the last three neither count nor break a row."""

DAILY: Ratio = (1.0, 1.0, 1.0)
LAST_FEEDS = 6
"""How many feeds back the chance looks: a young culture changes from week to week."""
_TELLING = 1.02
"""A time told in words is a little rounded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """One thing still wanted: ``number`` is days, rises, a height ratio or hours by what it is."""

    what: Lack
    number: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Readiness:
    """``in_a_row`` of ``wanted`` rises in time are there."""

    ready: bool
    missing: tuple[Missing, ...]
    in_a_row: int
    wanted: int


def readiness(
    outcomes: Sequence[Outcome],
    *,
    day: float,
    was_ready: bool = False,
    started_at: datetime | None = None,
) -> Readiness:
    """Whether the culture is ready on that day (day 1 is the first 24 hours), and what is missing.

    ``started_at`` keeps the false rises of
    the first days out; None when every outcome is known to be later. Raises InputError for a day that
    is no number or under 0.
    """
    rule = section("ready")
    counted = _counted(outcomes, day, started_at, was_ready=was_ready)
    wanted = rises_wanted(was_ready=was_ready)
    standings = tuple(standing(outcome) for outcome in counted)
    in_a_row = _row(standings)
    early = day < rule["day"] and not was_ready
    missing = _missing(counted, standings, in_a_row, wanted, day if early else None)
    return Readiness(
        ready=not early and in_a_row >= wanted,
        missing=missing if early or in_a_row < wanted else (),
        in_a_row=in_a_row,
        wanted=wanted,
    )


def _counted(
    outcomes: Sequence[Outcome], day: float, started_at: datetime | None, *, was_ready: bool
) -> tuple[Outcome, ...]:
    """The outcomes that say something of yeast. Raises InputError for a day that is none."""
    if not (math.isfinite(day) and 0.0 <= day <= 36_500.0):
        raise InputError(f"day is {day:g}: it must be 0 to 36,500 (day 1 is the first 24 hours)")
    if day < section("ready")["count_from_day"] and not was_ready:
        return ()
    return _later_than_the_false_rise(outcomes, started_at)


def rises_in_a_row(outcomes: Sequence[Outcome], *, started_at: datetime | None = None) -> int:
    """Full rises in time, in a row, the newest last; ``started_at`` as for ``readiness``."""
    counted = _later_than_the_false_rise(outcomes, started_at)
    return _row(tuple(standing(outcome) for outcome in counted))


def rises_wanted(*, was_ready: bool) -> int:
    """How many full rises in a row are wanted (F-190): fewer of a culture that was ready before."""
    rule = section("ready")
    return int(rule["feeds_again"] if was_ready else rule["feeds"])


def mark(flours: tuple[Flour, ...]) -> float:
    """The height ratio that counts as a full rise: 2.0, of rye 1.5 (F-082, F-190)."""
    rule = section("ready")
    return sum(rule["rise_rye" if flour == "rye" else "rise"] for flour in flours) / len(flours)


def window_h(
    celsius: float, ratio: Ratio | None = None, flours: tuple[Flour, ...] = ("white",)
) -> float:
    """The longest a full rise may take and still count, in hours.

    A feed of more flour gets as much longer as its curve is longer than that of 1:1:1.
    """
    rule = section("window")
    at_c = (rule["cold_c"], rule["mid_c"], rule["warm_c"])
    hours = (rule["cold_h"], rule["mid_h"], rule["warm_h"])
    base = _between(min(celsius, at_c[-1]), at_c, hours)
    if ratio is None or ratio == DAILY:
        return base
    plain = work(Feeding(ratio=DAILY, celsius=REFERENCE_C), REFERENCE_GAIN)
    own = work(Feeding(ratio=ratio, celsius=REFERENCE_C, flours=flours), REFERENCE_GAIN)
    return base * max(1.0, own / plain)


REFERENCE_C = 24.0
REFERENCE_GAIN = 2.0 / 3.0
"""Doubling is two thirds of what white flour gains (F-079)."""


def standing(outcome: Outcome) -> Standing:
    """What one feed came to: a full rise in time, short of it, too slow, or not known."""
    full = mark(outcome.flours)
    longest = None
    if outcome.celsius is not None:
        longest = window_h(outcome.celsius, outcome.ratio, outcome.flours) * _TELLING
    hours = outcome.hours
    if not _is_full(outcome, full):
        early = (
            outcome.when != "at"
            and hours is not None
            and longest is not None
            and hours < (longest if outcome.when == "not-by" else longest / 2.0)
        )
        return "open" if early else "short"
    if hours is None:
        return "no-time"
    if longest is None:
        return "no-warmth"
    if hours <= longest:
        return "full"
    return "slow" if outcome.when == "at" else "no-time"


def _is_full(outcome: Outcome, full: float) -> bool:
    """The middle of what was told counts, and its low end may be a tenth of the gain short."""
    if outcome.when == "not-by":
        return False
    nearly = full - 0.1 * (full - 1.0)
    return outcome.rise.middle >= full - 1e-9 and outcome.rise.low >= nearly - 1e-9


def _row(standings: Sequence[Standing]) -> int:
    """Full rises in a row, the newest last; what is not known neither counts nor breaks it."""
    row = 0
    for found in reversed(standings):
        if found == "full":
            row += 1
        elif found in ("short", "slow"):
            break
    return row


def _later_than_the_false_rise(
    outcomes: Sequence[Outcome], started_at: datetime | None
) -> tuple[Outcome, ...]:
    """Outcomes of day 5 and later: an earlier rise is bacteria's (F-054, F-057, published)."""
    if started_at is None:
        return tuple(outcomes)
    first = started_at + timedelta(days=section("ready")["count_from_day"] - 1.0)
    return tuple(outcome for outcome in outcomes if (outcome.fed_at or outcome.seen_at) >= first)


def _missing(
    outcomes: Sequence[Outcome],
    standings: Sequence[Standing],
    in_a_row: int,
    wanted: int,
    early_day: float | None,
) -> tuple[Missing, ...]:
    found: list[Missing] = []
    if early_day is not None:
        found.append(Missing(what="days", number=math.ceil(section("ready")["day"] - early_day)))
    if in_a_row < wanted:
        found.append(Missing(what="rises", number=wanted - in_a_row))
    if outcomes and in_a_row < wanted:
        last, how = outcomes[-1], standings[-1]
        match how:
            case "short":
                found.append(Missing(what="height", number=mark(last.flours)))
            case "slow":
                assert last.celsius is not None
                longest = window_h(last.celsius, last.ratio, last.flours)
                found.append(Missing(what="speed", number=longest))
            case "no-time":
                found.append(Missing(what="time", number=1.0))
            case "no-warmth":
                found.append(Missing(what="warmth", number=1.0))
            case "full" | "open":
                pass
    return tuple(found)


def chance_of_next(
    outcomes: Sequence[Outcome],
    *,
    day: float,
    flours: tuple[Flour, ...] = ("white",),
    celsius: float | None = None,
    was_ready: bool = False,
    started_at: datetime | None = None,
) -> float:
    """The chance (0..1) that the next feed, like the last one, makes a full rise in time.

    That of yeast which has come at all. ``celsius`` is the kitchen now, None the last outcome's;
    the other arguments and the errors are those of ``readiness``.
    """
    outcomes = _counted(outcomes, day, started_at, was_ready=was_ready)
    last = outcomes[-1] if outcomes else None
    warmth = celsius if celsius is not None else last.celsius if last is not None else None
    at_c = min(HOTTEST_C, max(COLDEST_C, section("window")["mid_c"] if warmth is None else warmth))
    ratio = DAILY if last is None or last.ratio is None else last.ratio
    kinds = flours if last is None else last.flours
    try:
        feeding = Feeding(ratio=ratio, celsius=at_c, flours=kinds)
    except InputError:
        feeding = Feeding(ratio=DAILY, celsius=at_c, flours=kinds)
    belief = learn(
        observations(outcomes[-LAST_FEEDS:]), age_days=None if was_ready else max(0.0, day - 1.0)
    )
    longest = window_h(at_c, feeding.ratio, kinds)
    in_time = chance_by(feeding, longest, belief, rise=mark(kinds))
    if was_ready:
        return in_time
    view = phase(age_days=max(0.0, day - 1.0), celsius=at_c, flours=kinds)
    come = view.chance("settling") + view.chance("steady")
    seen = sum(standing(outcome) == "full" for outcome in outcomes[-LAST_FEEDS:])
    if day >= section("ready")["day"]:
        # Each full rise in time after the false one makes it less likely that no yeast has come.
        come = 1.0 - (1.0 - come) * math.pow(section("ready")["false_again"], seen)
    return in_time * come


def _between(celsius: float, at_c: Sequence[float], hours: Sequence[float]) -> float:
    """Straight lines in the logarithm between the trade's rows; by the growth curve below the coldest."""
    if celsius < at_c[0]:
        slower = yeast_per_h(at_c[0]) / max(yeast_per_h(celsius), 1e-3)
        return hours[0] * slower
    for low in range(len(at_c) - 1):
        if celsius <= at_c[low + 1]:
            share = (celsius - at_c[low]) / (at_c[low + 1] - at_c[low])
            return hours[low] * math.pow(hours[low + 1] / hours[low], share)
    return hours[-1]
