"""What an answer to one of the first questions means: events for the journal, or one clear sentence."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Literal, TypeAlias, assert_never

from bot.culture.journal import (
    Event,
    FlourSet,
    KitchenSet,
    MorningsSet,
    QuestionClosed,
    UnitsSet,
    ZoneSet,
)
from bot.culture.state import Person
from bot.culture.vocabulary import Flour, Units
from bot.plan.zones import find_zone, zone_at, zone_called
from bot.reading.phrasebook import phrasebook
from bot.reading.wishes import (
    FlourWish,
    No,
    Rename,
    Skip,
    UnitsWish,
    clean_name,
    wish,
)
from bot.voice.catalogue import say

FirstQuestion: TypeAlias = Literal["flour", "kitchen", "units", "mornings", "name"]

USUAL_FLOUR: Flour = "white"
USUAL_UNITS: Units = "metric"
USUAL_MORNING = time(8)
USUAL_ZONE = {"metric": "UTC", "us": "America/Chicago"}
"""For whoever tells no place: the middle of where their measures are in use (our choice)."""

KITCHEN_C = (5.0, 40.0)
"""Colder or warmer than this is a slip or another unit (our choice)."""

_DEGREES = re.compile(
    r"(?P<low>-?\d{1,3}(?:[.,]\d{1,2})?)(?:\s*(?:-|\u2013|to|or)\s*(?P<high>\d{1,3}(?:[.,]\d{1,2})?))?"
    r"\s*(?:ish)?\s*(?:\u00b0|\u00ba|deg(?:rees?)?)?\s*(?P<unit>c(?:elsius|entigrade)?|f(?:ahrenheit)?)?\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Complaint:
    """One clear sentence: why that answer cannot be taken. The question is then asked again."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """The events that the answer comes to, the question's own ``QuestionClosed`` last.

    An answer may be half of one: an hour without a place closes nothing, and ``next_question``
    asks for the other half. ``name`` is set by the question "name": the name of the culture that
    is about to begin.
    """

    events: tuple[Event, ...]
    name: str | None = None


def answer(
    question: FirstQuestion, text: str, at: datetime, person: Person
) -> Answered | Complaint:
    """What that answer means: ``text`` is what they wrote, or the key of the choice they tapped.

    ``at`` is the moment of writing, in the writer's own zone when the channel knows it.
    """
    said = _said(question, text)
    wanted = wish(said, at, zone_called)
    passes = isinstance(wanted, Skip | No) or said in ("skip", "unknown")
    match question:
        case "flour":
            flour = USUAL_FLOUR if passes else _flour(said, at)
            if flour is None:
                return Complaint(text=say("questions.complain_flour"))
            return _closing(question, FlourSet(flour=flour))
        case "kitchen":
            return (
                _closing(question, KitchenSet(celsius=None)) if passes else _kitchen(said, person)
            )
        case "units":
            if passes:
                return _closing(question, UnitsSet(units=USUAL_UNITS))
            return _units(said, at)
        case "mornings":
            return _mornings_by_default(at, person) if passes else _mornings(said, person)
        case "name":
            if passes or said.casefold() in phrasebook().no_name_at_all:
                return _closing(question)
            name = wanted.new if isinstance(wanted, Rename) else clean_name(said)
            if name is None:
                return Complaint(text=say("questions.complain_name"))
            return Answered(events=(QuestionClosed(question=question),), name=name)
        case _:
            assert_never(question)


def answer_place(latitude: float, longitude: float, person: Person) -> Answered | Complaint:
    """A shared location, in answer to "mornings"."""
    zone = zone_at(latitude, longitude)
    if zone is None:
        return Complaint(text=say("questions.complain_sea"))
    return _mornings_set(person.morning_at, zone)


def _said(question: FirstQuestion, text: str) -> str:
    """The words, or the value of a tapped choice."""
    said = " ".join(text.replace("\u2019", "'").split())
    return said.removeprefix(f"q:{question}:")


def _closing(question: FirstQuestion, *events: Event) -> Answered:
    return Answered(events=(*events, QuestionClosed(question=question)))


def _flour(said: str, at: datetime) -> Flour | None:
    """The flour named, alone or somewhere in a sentence; of several the first."""
    wanted = wish(said, at, zone_called)
    if isinstance(wanted, FlourWish):
        return wanted.flour
    book = phrasebook()
    words = re.findall(r"[\w'-]+", said.casefold())
    spans = (
        " ".join(words[start : start + length])
        for length in (3, 2, 1)
        for start in range(min(len(words), 30) - length + 1)
    )
    return next((flour for span in spans if (flour := book.flour_named(span)) is not None), None)


def _kitchen(said: str, person: Person) -> Answered | Complaint:
    small = said.casefold().strip(" .!,")
    told = _degrees(small, person.units)
    if told is None:
        celsius = _warmth_in_words(small)
        if celsius is None:
            return Complaint(text=say("questions.complain_kitchen"))
        return _closing("kitchen", KitchenSet(celsius=celsius))
    celsius, unit = told
    if not KITCHEN_C[0] <= celsius <= KITCHEN_C[1]:
        return Complaint(text=say("questions.complain_kitchen_range", said=said[:40]))
    units: tuple[Event, ...] = ()
    if unit is not None and person.units is None:
        units = (UnitsSet(units="us" if unit == "f" else "metric"),)
    return _closing("kitchen", *units, KitchenSet(celsius=celsius))


def _degrees(small: str, units: Units | None) -> tuple[float, str | None] | None:
    """°C and the unit, when one was said or only one is possible."""
    found = _DEGREES.search(phrasebook().calendar.in_digits(small))
    if found is None:
        return None
    low = float(found["low"].replace(",", "."))
    high = low if found["high"] is None else float(found["high"].replace(",", "."))
    middle = (low + high) / 2
    unit = found["unit"][0] if found["unit"] else None
    as_f = (middle - 32) / 1.8
    if unit is None and not KITCHEN_C[0] <= middle <= KITCHEN_C[1] and _is_kitchen(as_f):
        unit = "f"
    if unit == "f" or (unit is None and units == "us" and _is_kitchen(as_f)):
        return round(as_f, 1), unit
    return middle, unit


def _is_kitchen(celsius: float) -> bool:
    return KITCHEN_C[0] <= celsius <= KITCHEN_C[1]


def _warmth_in_words(small: str) -> float | None:
    """ "It's a bit cool in winter" by the words of the book; "not cold" says nothing."""
    words = re.findall(r"[\w']+", small)
    if any(word in ("not", "never") or word.endswith("n't") for word in words):
        return None
    spans = (
        " ".join(words[start : start + length])
        for length in (4, 3, 2, 1)
        for start in range(min(len(words), 30) - length + 1)
    )
    known = phrasebook().warmths
    return next((known[span] for span in spans if span in known), None)


def _units(said: str, at: datetime) -> Answered | Complaint:
    wanted = wish(said, at, zone_called)
    if isinstance(wanted, UnitsWish):
        return _closing("units", UnitsSet(units=wanted.units))
    topics = {phrasebook().phrases.get(word) for word in re.findall(r"\w+", said.casefold())}
    is_us, is_metric = "units_us" in topics, "units_metric" in topics
    if is_us == is_metric:
        return Complaint(text=say("questions.complain_units"))
    return _closing("units", UnitsSet(units="us" if is_us else "metric"))


def _mornings(said: str, person: Person) -> Answered | Complaint:
    """An hour and a place, or the half of it that is still wanted."""
    hour = phrasebook().calendar.clock(said.casefold().strip(" .!"))
    if hour is not None:
        # "8" may be the hour or, to a pedant, an offset; offsets are told with a sign.
        return _mornings_set(hour, person.zone)
    zone = zone_called(said)
    if zone is not None:
        return _mornings_set(person.morning_at, zone)
    hour, place = _hour_and_place(said)
    zone = find_zone(place)
    if zone is not None:
        return _mornings_set(hour or person.morning_at, zone)
    if hour is not None or person.morning_at is not None:
        return Complaint(text=say("questions.complain_place", place=place[:40]))
    line = "questions.complain_mornings" if person.zone is None else "questions.complain_hour"
    return Complaint(text=say(line))


def _hour_and_place(said: str) -> tuple[time | None, str]:
    """ "8, Oslo", "half past 7 in Oslo", "Oslo at 8am": the longest hour at either end."""
    words = said.replace(",", " ").replace(";", " ").split()
    read = phrasebook().calendar.clock
    for length in range(min(len(words) - 1, 6), 0, -1):
        hour = read(" ".join(words[:length]).casefold())
        if hour is not None:
            return hour, " ".join(words[length:])
        hour = read(" ".join(words[-length:]).casefold())
        if hour is not None:
            return hour, " ".join(words[:-length])
    return None, said


def _mornings_set(hour: time | None, zone: str | None) -> Answered:
    """What is known of both; an hour alone leaves the question open."""
    if zone is None:
        return Answered(events=(MorningsSet(at=hour or USUAL_MORNING),))
    return _closing("mornings", MorningsSet(at=hour or USUAL_MORNING), ZoneSet(zone=zone))


def _mornings_by_default(at: datetime, person: Person) -> Answered:
    """Skipped: eight by the clock that their messages carry, or the middle of their measures' land."""
    zone = person.zone or _offset_of(at) or USUAL_ZONE[person.units or USUAL_UNITS]
    return _mornings_set(person.morning_at, zone)


def _offset_of(at: datetime) -> str | None:
    """The offset a message carries, when its channel knows one; UTC is what the others write."""
    east = at.utcoffset() or timedelta(0)
    if not east or east % timedelta(minutes=1):
        return None
    minutes = int(abs(east).total_seconds()) // 60
    return f"{'+' if east > timedelta(0) else '-'}{minutes // 60:02}:{minutes % 60:02}"
