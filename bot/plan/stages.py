"""What a day brings to one culture: the method's day, fitted to this jar and this kitchen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, tzinfo

from bot.culture.outcomes import outcomes
from bot.culture.phases import phase_of, speed
from bot.culture.quantities import Range
from bot.culture.readiness import rises_in_a_row, rises_wanted
from bot.culture.state import Culture, Dossier, day_of
from bot.plan.feeding import (
    Feeding,
    JarWarning,
    Warmth,
    feed_later_at,
    feeding_of,
    feeding_on,
    jar_warning,
    own_feeding,
    warmth_of,
)
from bot.plan.method import method
from bot.plan.mornings import local_day_at
from bot.plan.zones import zone_info

GROWN = 1.5
"""Who saw it grow by half had fed it."""

GATE_DAY = 7
"""From this day on a culture may be ready, if it shows it (F-190)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """How far the jar has come, from the seventh day on: full rises in time, of those wanted in a row.

    ``days`` are the calendar days that jars like this one still take at this warmth, as a spread;
    None when the rises are all there.
    """

    in_a_row: int
    wanted: int
    days: Range | None

    @property
    def is_open(self) -> bool:
        return self.in_a_row >= self.wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningPlan:
    """One culture's day.

    ``feeding`` None: nothing to feed today any more (fed already), or the jar is in the fridge.
    ``look_for`` and ``normal`` are the handbook's words for the day that this kitchen's warmth
    makes it; ``note`` is a word on the calendar day.
    """

    culture: str
    name: str
    local_day: date
    day: int
    """Day 1 is the local day of the first mix."""
    phase: str
    feeding: Feeding | None
    fed_today_at: datetime | None
    """In the person's zone; None when no feed is logged today."""
    feed_later_at: datetime | None
    """The last feed is fresh: this one is due then, in the person's zone. None: feed now."""
    missed_days: int
    """Whole local days without a logged feed before this one."""
    in_fridge: bool
    warmth: Warmth
    kitchen_c: float | None
    look_for: str
    normal: str
    note: str
    jar: JarWarning | None
    gate: Gate | None
    """None before the seventh day, and after its keeper has chosen what comes next."""
    times_as_long: float
    """How many times as long things take here as in a kitchen of 22 °C; 1.0 when not known."""

    @property
    def is_gate_day(self) -> bool:
        return self.day == GATE_DAY

    @property
    def already_fed_today(self) -> bool:
        return self.fed_today_at is not None


def morning_plan(dossier: Dossier, culture: Culture, local_day: date, now: datetime) -> MorningPlan:
    """The plan of ``local_day`` for a culture that was mixed; ValueError for one that was not."""
    if culture.started_at is None:
        raise ValueError(f"{culture.key} was never mixed")
    person = dossier.person
    zone = UTC if person.zone is None else zone_info(person.zone)
    day = max(1, day_of(culture, local_day, local_day_at(culture.started_at, zone)))
    plan = method(culture.method)
    warmth = warmth_of(plan.kitchen, person.kitchen_c, culture)
    # A jar in a warm or cool spot is at a warmth nobody told.
    jar_c = None if culture.spot in ("warm", "cool") else person.kitchen_c
    is_kept = culture.chosen is not None
    as_day = plan.kept if is_kept else plan.on(day_by_warmth(day, jar_c))
    in_fridge = culture.spot == "fridge"
    fed_at = _fed_on(culture, local_day, zone)
    by_method = feeding_of(plan.kept) if is_kept else feeding_on(plan, max(day, 2), warmth)
    todays = own_feeding(culture) or by_method
    feeding = None if in_fridge or fed_at is not None else todays
    later = None if feeding is None else feed_later_at(culture, now)
    return MorningPlan(
        culture=culture.key,
        name=culture.name,
        local_day=local_day,
        day=day,
        phase=as_day.phase,
        feeding=feeding,
        fed_today_at=fed_at,
        feed_later_at=None if later is None else later.astimezone(zone),
        missed_days=0 if feeding is None else _missed_days(culture, local_day, zone),
        in_fridge=in_fridge,
        warmth=warmth,
        kitchen_c=person.kitchen_c,
        look_for=as_day.look_for,
        normal=as_day.normal,
        note=plan.kept.note if is_kept else plan.on(day).note,
        # A jar that is fed already will be fed alike tomorrow: better to know in time.
        jar=None if in_fridge else jar_warning(culture, todays, as_day.rise_high),
        gate=_gate(culture, now, person.kitchen_c) if day >= GATE_DAY and not is_kept else None,
        times_as_long=1.0 if jar_c is None else 1.0 / speed(jar_c),
    )


def day_by_warmth(day: int, kitchen_c: float | None) -> int:
    """Which day of a mild kitchen this day is like, as far as what can be seen goes (F-069).

    Seven days at 18 °C bring what four or five bring at 22 °C. Only the first mix is ever day 1.
    """
    if day <= 1 or kitchen_c is None:
        return max(day, 1)
    return max(2, round(1 + (day - 1) * speed(kitchen_c)))


def _gate(culture: Culture, now: datetime, kitchen_c: float | None) -> Gate:
    in_a_row = rises_in_a_row(outcomes(culture), started_at=culture.started_at)
    wanted = rises_wanted(was_ready=any(said.verdict == "ready" for said in culture.conclusions))
    view = None if in_a_row >= wanted else phase_of(culture, now, kitchen_c=kitchen_c)
    days = None if view is None else Range(view.reliable_in_days.low, view.reliable_in_days.high)
    return Gate(in_a_row=in_a_row, wanted=wanted, days=days)


def _fed_on(culture: Culture, local_day: date, zone: tzinfo) -> datetime | None:
    """The last feed of that local day, the first mix included, in that zone."""
    done = [feed.at for feed in culture.feeds]
    if culture.started_at is not None:
        done.append(culture.started_at)
    today = [at for at in done if local_day_at(at, zone) == local_day]
    return max(today).astimezone(zone) if today else None


def _missed_days(culture: Culture, local_day: date, zone: tzinfo) -> int:
    done = [local_day_at(feed.at, zone) for feed in culture.feeds]
    # "Doubled in 6 hours" tells of a feed that nobody reported.
    done += [
        local_day_at(seen.fed_at if seen.told and seen.fed_at else seen.seen_at, zone)
        for seen in outcomes(culture)
        if seen.rise.low >= GROWN
    ]
    if culture.started_at is not None:
        done.append(local_day_at(culture.started_at, zone))
    before = [fed_on for fed_on in done if fed_on < local_day]
    return (local_day - max(before)).days - 1 if before else 0
