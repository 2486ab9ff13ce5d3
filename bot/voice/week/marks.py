"""What was done and seen in a week, as rows of marks: one of a kind a day, dangers above all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import assert_never

from bot.culture.outcomes import all_feeds
from bot.culture.state import Culture, Deed, Sighting
from bot.culture.vocabulary import (
    Baked,
    Binned,
    Bubbles,
    Discarded,
    Fed,
    Moved,
    Signs,
    Skipped,
    Smell,
    Started,
    Stirred,
)
from bot.plan.mornings import local_day_at
from bot.voice.catalogue import say
from bot.voice.chart import Lane, Mark, Symbol
from bot.voice.week.frame import Frame

LEVELS: dict[Bubbles, int] = {"none": 0, "few": 1, "some": 2, "many": 3}

TELLING: tuple[Smell, ...] = (
    "rotten", "solvent", "cheesy", "alcohol", "sour", "yeasty", "sweet", "floury", "none",
)  # fmt: skip
"""Of several smells in one report the picture names the first of these."""

ROT_FROM_DAY = 5
"""A rotten smell belongs to the first days' bacteria; from this day on it is a danger (F-057)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """One mark with the moment it stands at, and whether it is a danger."""

    at: datetime
    symbol: Symbol
    word: str
    is_danger: bool = False


def lanes_of(culture: Culture, frame: Frame) -> tuple[Lane, ...]:
    """The rows in their order; a row of which nothing is known is left out."""
    seen = [
        sighting
        for sighting in culture.sightings
        if frame.shows(sighting.at) and sighting.at <= frame.now
    ]
    rows = (
        (say("chart.row_danger"), _others(culture, frame, dangers=True)),
        (say("chart.row_fed"), _fed(culture, frame)),
        (say("chart.row_bubbles"), _bubbles(seen, frame)),
        (say("chart.row_smell"), _smells(seen, frame)),
        (say("chart.row_also"), _others(culture, frame, dangers=False)),
    )
    return tuple(Lane(label=label, marks=marks) for label, marks in rows if marks)


def fed_times(culture: Culture, frame: Frame) -> tuple[datetime, ...]:
    """The feeds of the week, the first mix among them."""
    return tuple(
        deed.at for deed in all_feeds(culture) if frame.shows(deed.at) and deed.at <= frame.now
    )


def noted(culture: Culture, frame: Frame) -> tuple[Noted, ...]:
    """What else was seen or done: each thing once a day, the dangers of a day first."""
    found = [
        *(one for seen in culture.sightings for one in _seen(seen, frame)),
        *(one for deed in culture.deeds if (one := _done(deed)) is not None),
    ]
    once: dict[tuple[date, str], Noted] = {}
    for one in sorted(found, key=lambda one: one.at):
        if frame.shows(one.at) and one.at <= frame.now:
            once.setdefault((local_day_at(one.at, frame.zone), one.word), one)
    by_day = sorted(once.items(), key=lambda item: (item[0][0], not item[1].is_danger, item[1].at))
    return tuple(one for _, one in by_day)


def smells_by_day(culture: Culture, frame: Frame) -> dict[date, Smell]:
    """The most telling smell of the last report of each day that named one."""
    found: dict[date, Smell] = {}
    for seen in culture.sightings:
        if seen.signs.smell and frame.shows(seen.at) and seen.at <= frame.now:
            found[local_day_at(seen.at, frame.zone)] = _telling(seen.signs.smell)
    return found


def _fed(culture: Culture, frame: Frame) -> tuple[Mark, ...]:
    return tuple(Mark(at_h=_hour(frame, at), symbol="feed") for at in fed_times(culture, frame))


def _bubbles(seen: list[Sighting], frame: Frame) -> tuple[Mark, ...]:
    last = {
        local_day_at(sighting.at, frame.zone): (sighting.at, sighting.signs.bubbles)
        for sighting in seen
        if sighting.signs.bubbles is not None
    }
    return tuple(
        Mark(at_h=_hour(frame, at), symbol="bubbles", level=LEVELS[bubbles])
        for at, bubbles in last.values()
    )


def _smells(seen: list[Sighting], frame: Frame) -> tuple[Mark, ...]:
    last = {
        local_day_at(sighting.at, frame.zone): sighting for sighting in seen if sighting.signs.smell
    }
    return tuple(
        Mark(
            at_h=_hour(frame, sighting.at),
            symbol="word",
            word=say(f"chart.smell_{_telling(sighting.signs.smell)}"),
        )
        for sighting in last.values()
    )


def _others(culture: Culture, frame: Frame, *, dangers: bool) -> tuple[Mark, ...]:
    return tuple(
        Mark(at_h=_hour(frame, one.at), symbol=one.symbol, word=one.word)
        for one in noted(culture, frame)
        if one.is_danger is dangers
    )


def _seen(seen: Sighting, frame: Frame) -> Iterator[Noted]:
    signs = seen.signs
    for word in _dangers(signs, frame.number_on(local_day_at(seen.at, frame.zone))):
        yield Noted(at=seen.at, symbol="alarm", word=say(f"chart.also_{word}"), is_danger=True)
    for word in _plain(signs):
        yield Noted(at=seen.at, symbol="dot", word=say(f"chart.also_{word}"))


def _dangers(signs: Signs, day: int | None) -> Iterator[str]:
    if signs.mould:
        yield "mould"
    if signs.streak:
        yield signs.streak
    if signs.pests:
        yield "pests"
    if "rotten" in signs.smell and (day is None or day >= ROT_FROM_DAY):
        yield "rotten"


def _plain(signs: Signs) -> Iterator[str]:
    if signs.liquid is not None and signs.liquid.present:
        yield "liquid"
    if signs.film:
        yield "film"
    if signs.crust:
        yield "crust"
    if signs.floats is not None:
        yield "floats" if signs.floats else "sinks"
    if signs.surface == "fallen":
        yield "fallen"


def _done(deed: Deed) -> Noted | None:
    match deed.act:
        case Baked():
            return Noted(at=deed.at, symbol="loaf", word=say("chart.also_baked"))
        case Moved():
            return Noted(at=deed.at, symbol="dot", word=say(f"chart.also_to_{deed.act.to}"))
        case Binned():
            return Noted(at=deed.at, symbol="alarm", word=say("chart.also_binned"), is_danger=True)
        case Fed() | Started() | Discarded() | Skipped() | Stirred():
            return None
        case _:
            assert_never(deed.act)


def _telling(smells: tuple[Smell, ...]) -> Smell:
    return next(smell for smell in TELLING if smell in smells)


def _hour(frame: Frame, at: datetime) -> float:
    return round(frame.hour(at), 3)
