"""The week in words: what the picture shows, for those who do not see it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from babel.dates import format_date, format_interval
from babel.lists import format_list

from bot.culture.phases import Phase
from bot.culture.state import Culture
from bot.culture.vocabulary import Units
from bot.plan.mornings import local_day_at
from bot.voice.catalogue import say
from bot.voice.chart import Expected, Risen, Stay, Warmth
from bot.voice.quantities import degrees, degrees_between, locale_of, number
from bot.voice.week.frame import Frame
from bot.voice.week.marks import fed_times, noted, smells_by_day
from bot.voice.week.rises import Week

_MOST_RISES = 7
_NEXT_TO_NOTHING = 1.1
_NEARLY_DOUBLED, _DOUBLED = 1.95, 2.05


def alternative(
    culture: Culture,
    frame: Frame,
    units: Units,
    *,
    phase: Phase | None,
    week: Week,
    warmth: Sequence[Warmth],
    in_fridge: Sequence[Stay],
) -> str:
    """Days, dangers, phase, feeds, rises beside what was expected, warmth, what else was told."""
    sentences = [say("chart.alt_head", name=culture.name, when=when_shown(frame, units))]
    dangers, others = _others(culture, frame, units)
    sentences += dangers
    if phase is not None:
        sentences.append(say("chart.alt_phase", phase=say(f"chart.phase_{phase}")))
    sentences.append(_fed(culture, frame))
    sentences.append(_rises(frame, week, units))
    sentences.append(_warmth(warmth, units))
    if in_fridge:
        sentences.append(say("chart.alt_fridge"))
    sentences += others
    return " ".join(sentences)


def when_shown(frame: Frame, units: Units) -> str:
    """ "Days 1 to 7, 2 – 8 March"."""
    first, last = frame.days[0], frame.days[-1]
    dates = format_interval(first, last, "MMMMd", locale=locale_of(units))
    if frame.first_number is None:
        return dates
    return say("chart.days", first=frame.first_number, last=frame.number_on(last), dates=dates)


def weekday(local_day: date, units: Units) -> str:
    """ "Mon"."""
    return format_date(local_day, "EEE", locale=locale_of(units))


def _fed(culture: Culture, frame: Frame) -> str:
    count = len(fed_times(culture, frame))
    return say("chart.alt_fed", count=count) if count else say("chart.alt_not_fed")


def _rises(frame: Frame, week: Week, units: Units) -> str:
    best: dict[str, tuple[Risen, Expected | None]] = {}
    for risen, expected in week.seen:
        day = _day_of(frame, risen, units)
        if day not in best or best[day][0].ratio < risen.ratio:
            best[day] = (risen, expected)
    if not best:
        return say("chart.alt_no_rise_told")
    parts = [
        _rise(day, risen, expected, units)
        for day, (risen, expected) in list(best.items())[-_MOST_RISES:]
    ]
    return say("chart.alt_rises", rises="; ".join(parts))


def _rise(day: str, risen: Risen, expected: Expected | None, units: Units) -> str:
    if expected is None:
        return say("chart.alt_rise", day=day, rise=_height(risen, units))
    low, high = _expected_of(risen, expected)
    return say(
        "chart.alt_rise_expected",
        day=day,
        rise=_height(risen, units),
        low=number(low, units),
        high=number(high, units),
    )


def _expected_of(risen: Risen, expected: Expected) -> tuple[float, float]:
    """The heights that were expected of it: at its hour, or at the highest up to then."""
    points = expected.points
    if risen.since_h is None and points[0].median is not None:
        near = min(points, key=lambda point: abs(point.at_h - risen.at_h))
        return near.low, near.high
    before = [point for point in points if point.at_h <= risen.at_h] or points[:1]
    return max(point.low for point in before), max(point.high for point in before)


def _height(risen: Risen, units: Units) -> str:
    if risen.ratio < _NEXT_TO_NOTHING:
        return say("chart.no_rise")
    if _NEARLY_DOUBLED <= risen.ratio <= _DOUBLED:
        return say("chart.doubled")
    return say("chart.times", ratio=number(risen.ratio, units))


def _warmth(warmth: Sequence[Warmth], units: Units) -> str:
    if not warmth:
        return say("chart.alt_no_warmth")
    low = min(part.celsius for part in warmth)
    high = max(part.celsius for part in warmth)
    if degrees(low, units) == degrees(high, units):
        return say("chart.alt_warmth", warmth=degrees(low, units))
    return say("chart.alt_warmth", warmth=degrees_between(low, high, units))


def _others(culture: Culture, frame: Frame, units: Units) -> tuple[list[str], list[str]]:
    """Dangers, and then smells and the rest, each with its days."""
    smells: dict[str, list[date]] = {}
    for local_day, smell in smells_by_day(culture, frame).items():
        smells.setdefault(say(f"chart.smell_{smell}"), []).append(local_day)
    dangers: dict[str, list[date]] = {}
    rest: dict[str, list[date]] = {}
    for one in noted(culture, frame):
        day = local_day_at(one.at, frame.zone)
        (dangers if one.is_danger else rest).setdefault(one.word, []).append(day)

    def told(line: str, found: dict[str, list[date]]) -> list[str]:
        return [say(line, what=_with_days(found, frame, units))] if found else []

    return told("chart.alt_dangers", dangers), [
        *told("chart.alt_smells", smells),
        *told("chart.alt_others", rest),
    ]


def _with_days(found: dict[str, list[date]], frame: Frame, units: Units) -> str:
    return ", ".join(_on(what, local_days, frame, units) for what, local_days in found.items())


def _on(what: str, local_days: list[date], frame: Frame, units: Units) -> str:
    """ "cheesy on days 3 and 4", "yeasty on Thu and Fri"."""
    numbers = [frame.number_on(day) for day in local_days]
    if all(number is not None and number <= COUNTED for number in numbers):
        days = format_list(_runs([number or 0 for number in numbers]), locale=locale_of(units))
        return say("chart.on_numbered", count=len(numbers), what=what, days=days)
    days = format_list([weekday(day, units) for day in local_days], locale=locale_of(units))
    return say("chart.on_days", what=what, days=days)


def _runs(numbers: Sequence[int]) -> list[str]:
    """ "3", "5–7": three in a row and more are told by their ends."""
    runs: list[list[int]] = []
    for day in sorted(numbers):
        if runs and day == runs[-1][-1] + 1:
            runs[-1].append(day)
        else:
            runs.append([day])
    told: list[str] = []
    for run in runs:
        told += [f"{run[0]}–{run[-1]}"] if len(run) > 2 else map(str, run)
    return told


def _day_of(frame: Frame, risen: Risen, units: Units) -> str:
    for index, edge in enumerate(frame.edges[1:]):
        if risen.at_h < frame.hour(edge):
            return _day_name(frame, frame.days[index], units)
    return _day_name(frame, frame.days[-1], units)


def _day_name(frame: Frame, local_day: date, units: Units) -> str:
    """ "day 4" while days are counted, a weekday afterwards."""
    day = frame.number_on(local_day)
    if day is None or day > COUNTED:
        return weekday(local_day, units)
    return say("chart.day", day=day)


COUNTED = 14
"""So many days are known by their number; an older culture's by the day of the week."""


def moment_phase(frame: Frame, culture: Culture) -> datetime:
    """The moment whose phase the words name: now, or the end of what the picture shows."""
    return max(min(frame.now, frame.end), culture.started_at or frame.now)
