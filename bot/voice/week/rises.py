"""What was expected of each feed of the week, and what was seen of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bot.culture.curve import COLDEST_C, HOTTEST_C, Feeding
from bot.culture.outcomes import (
    Outcome,
    all_feeds,
    flours_of,
    observations,
    outcomes,
    ratio_told,
)
from bot.culture.phases import PHASES, Phase
from bot.culture.rise_band import heights
from bot.culture.state import Culture
from bot.culture.vigour import Vigour, learn
from bot.culture.vocabulary import Flour, Moved, Ratio, Started
from bot.errors import InputError
from bot.plan.feeding import feeding_on, warmth_of
from bot.plan.method import Method, method
from bot.plan.mornings import local_day_at
from bot.plan.stages import day_by_warmth
from bot.voice.chart import Expected, ExpectedPoint, Risen
from bot.voice.week.frame import Frame
from bot.voice.week.warmth import Told, jar_at, spot_at, stays

_HOUR = timedelta(hours=1)
_LONGEST_H = 30.0
"""So long after a feed nobody waits for a rise any more."""
_STEP_H = 0.75
_LATELY = 6
"""A young culture changes: so many feeds say how strong it is now."""
_MEMORY = timedelta(days=21)
_ROSE = 1.15

PhaseAt = Callable[[datetime], Phase | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """A feed, told or implied by what was said of its rise. ``ratio`` None: not told."""

    at: datetime
    ratio: Ratio | None
    flours: tuple[Flour, ...]
    is_first_mix: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """The rises of a week: ``seen`` beside the ``expected`` one of the same feed, where there is one."""

    expected: tuple[Expected, ...]
    seen: tuple[tuple[Risen, Expected | None], ...]


def week_of(culture: Culture, frame: Frame, told: tuple[Told, ...], phase_at: PhaseAt) -> Week:
    """The expectation of each feed that reaches into the frame, from what was known when it was fed."""
    culture = _lately(culture, frame)
    results = outcomes(culture)
    feeds = _feeds(culture, results, frame.now)
    expected: dict[datetime, Expected] = {}
    for index, feed in enumerate(feeds):
        next_at = feeds[index + 1].at if index + 1 < len(feeds) else frame.end
        until = min(
            next_at, feed.at + _LONGEST_H * _HOUR, frame.end, _chilled(culture, feed, frame)
        )
        begin = max(feed.at, frame.start)
        if until - begin < _HOUR or spot_at(culture, feed.at) == "fridge":
            continue
        found = _expected(culture, feed, begin, until, frame, told, results, phase_at)
        if found is not None:
            expected[feed.at] = found
    seen = [
        (risen, None if outcome.fed_at is None else expected.get(outcome.fed_at))
        for outcome in results
        if (risen := _risen(outcome, frame)) is not None
    ]
    seen.sort(key=lambda pair: pair[0].at_h)
    return Week(expected=tuple(expected.values()), seen=tuple(seen))


def _lately(culture: Culture, frame: Frame) -> Culture:
    """The culture as the last weeks show it: a year of daily reports would be looked through in vain.

    Moves are kept, whatever their age: one of them tells where the jar stands.
    """
    since = frame.start - _MEMORY
    return replace(
        culture,
        sightings=tuple(seen for seen in culture.sightings if seen.at >= since),
        deeds=tuple(
            deed for deed in culture.deeds if deed.at >= since or isinstance(deed.act, Moved)
        ),
    )


def _feeds(culture: Culture, results: Sequence[Outcome], now: datetime) -> list[Feed]:
    feeds = [
        Feed(
            at=deed.at,
            ratio=ratio_told(deed),
            flours=flours_of(culture, deed),
            is_first_mix=isinstance(deed.act, Started),
        )
        for deed in all_feeds(culture)
    ]
    feeds += [
        Feed(at=result.fed_at, ratio=None, flours=result.flours, is_first_mix=False)
        for result in results
        if result.fed_at is not None and not result.told
    ]
    by_time = {feed.at: feed for feed in feeds if feed.at <= now}
    return [by_time[at] for at in sorted(by_time)]


def _chilled(culture: Culture, feed: Feed, frame: Frame) -> datetime:
    """When the jar first went into the fridge after that feed; the frame's end when it did not."""
    cold = [frame.start + stay.from_h * _HOUR for stay in stays(culture, frame)]
    return min((at for at in cold if at >= feed.at), default=frame.end)


def _expected(
    culture: Culture,
    feed: Feed,
    begin: datetime,
    until: datetime,
    frame: Frame,
    told: tuple[Told, ...],
    results: Sequence[Outcome],
    phase_at: PhaseAt,
) -> Expected | None:
    """A curve once the yeast leads, the method's word for the day before that."""
    celsius = jar_at(culture, told, feed.at)
    phase = phase_at(feed.at)
    before = [result for result in results if result.seen_at <= feed.at]
    known = [
        result
        for result in before[-_LATELY:]
        if result.fed_at is not None and _yeast_leads(phase_at(result.fed_at))
    ]
    if phase == "steady" or (phase == "settling" and known):
        feeding = _feeding(culture, feed, celsius, frame)
        return (
            None
            if feeding is None
            else _curve(feeding, feed, begin, until, frame, _vigour(culture, feed, known))
        )
    return _day(culture, feed, begin, until, frame, celsius)


def _yeast_leads(phase: Phase | None) -> bool:
    return phase is not None and PHASES.index(phase) >= PHASES.index("settling")


def _vigour(culture: Culture, feed: Feed, known: Sequence[Outcome]) -> Vigour:
    age = None if culture.started_at is None else (feed.at - culture.started_at) / timedelta(days=1)
    return learn(observations(known), age_days=None if age is None else max(0.0, age))


def _feeding(culture: Culture, feed: Feed, celsius: float | None, frame: Frame) -> Feeding | None:
    """None where a rise cannot be timed: at an unknown warmth, or one outside 4..34 °C."""
    if celsius is None or not COLDEST_C <= celsius <= HOTTEST_C or feed.is_first_mix:
        return None
    ratio = feed.ratio
    if ratio is None:
        plan = method(culture.method)
        warmth = warmth_of(plan.kitchen, celsius, culture)
        usual = feeding_on(plan, _number(feed, frame) or len(plan.days) + 1, warmth)
        ratio = (usual.keep_g, usual.flour_g, usual.water_g)
    try:
        return Feeding(ratio=ratio, celsius=celsius, flours=feed.flours)
    except InputError:
        return None


def _curve(
    feeding: Feeding, feed: Feed, begin: datetime, until: datetime, frame: Frame, vigour: Vigour
) -> Expected:
    first, last = (begin - feed.at) / _HOUR, (until - feed.at) / _HOUR
    steps = max(2, round((last - first) / _STEP_H))
    hours = [first + (last - first) * step / steps for step in range(steps + 1)]
    offset = frame.hour(feed.at)
    return Expected(
        points=tuple(
            ExpectedPoint(
                at_h=offset + hour,
                low=_level(spread.low),
                median=_level(spread.median),
                high=_level(spread.high),
            )
            for hour, spread in zip(hours, heights(feeding, hours, vigour), strict=True)
        )
    )


def _day(
    culture: Culture,
    feed: Feed,
    begin: datetime,
    until: datetime,
    frame: Frame,
    celsius: float | None,
) -> Expected | None:
    """What the method says of that day in a kitchen of that warmth: any height between two."""
    number = _number(feed, frame)
    if number is None:
        return None
    plan: Method = method(culture.method)
    day = plan.on(day_by_warmth(max(1, number), celsius))
    return Expected(
        points=tuple(
            ExpectedPoint(at_h=frame.hour(at), low=day.rise_low, high=day.rise_high)
            for at in (begin, until)
        )
    )


def _number(feed: Feed, frame: Frame) -> int | None:
    return frame.number_on(local_day_at(feed.at, frame.zone))


def _risen(outcome: Outcome, frame: Frame) -> Risen | None:
    """The best that was seen of a feed; None when it falls outside the picture."""
    at = outcome.seen_at
    if outcome.fed_at is not None and outcome.hours is not None:
        at = min(outcome.seen_at, outcome.fed_at + outcome.hours * _HOUR)
    if not frame.start <= at <= min(frame.end, frame.now):
        return None
    since = None
    if outcome.when == "by" and outcome.fed_at is not None and outcome.rise.high > _ROSE:
        since = _hour(frame, max(outcome.fed_at, frame.start))
    return Risen(
        at_h=_hour(frame, at),
        ratio=_level(outcome.rise.middle),
        low=_level(outcome.rise.low),
        high=_level(outcome.rise.high),
        since_h=since,
    )


def _hour(frame: Frame, at: datetime) -> float:
    return round(frame.hour(at), 3)


def _level(ratio: float) -> float:
    """A tenth of a pixel is no news, and a picture is kept as text until it is sent."""
    return round(ratio, 3)
