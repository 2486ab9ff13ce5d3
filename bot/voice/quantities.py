"""Numbers, warmth, times and feeds in words, by the person's units. Formats are babel's."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta

from babel import Locale
from babel.dates import format_date, format_skeleton, format_time
from babel.numbers import format_decimal

from bot.culture.vocabulary import Units
from bot.voice.catalogue import say

METRIC = Locale("en", "GB")
US = Locale("en", "US")

TABLESPOONS_IN_A_CUP = 16

EARLY = time(6, 30)
LATE = time(22, 30)
"""Nobody is asked to look into a jar between these (common practice, no source)."""

_WARMTH = re.compile(r"c(\d+)(?:_(\d+))?")


def locale_of(units: Units) -> Locale:
    """How numbers and clocks are written: 14:00 or 2:00 PM."""
    return US if units == "us" else METRIC


def number(value: float, units: Units = "metric") -> str:
    """At most one decimal, none where it is zero.

    >>> number(5.0), number(1.25)
    ('5', '1.2')
    """
    return format_decimal(value, format="#,##0.#", locale=locale_of(units))


def degrees(celsius: float, units: Units) -> str:
    """A warmth, to the whole degree (Fahrenheit by F-156).

    >>> degrees(21.1, "metric"), degrees(21.1, "us")
    ('21 °C', '70 °F')
    """
    if units == "us":
        return f"{celsius * 1.8 + 32:.0f} °F"
    return f"{celsius:.0f} °C"


def degrees_between(low_c: float, high_c: float, units: Units) -> str:
    """Two warmths as one span: "24-26 °C"."""
    return f"{degrees(low_c, units).split()[0]}\u2013{degrees(high_c, units)}"


def warmth_slot(name: str, units: Units) -> str | None:
    """The words for a slot like ``{c24}`` or ``{c24_26}``; None for any other slot."""
    found = _WARMTH.fullmatch(name)
    if found is None:
        return None
    if found[2] is None:
        return degrees(float(found[1]), units)
    return degrees_between(float(found[1]), float(found[2]), units)


def clock(at: time | datetime, units: Units) -> str:
    """A time of day: "14:00", "2:00 PM"."""
    text = format_time(at, format="short", locale=locale_of(units))
    return text.replace("\u202f", " ")


def rounded(at: datetime) -> datetime:
    """The nearest half hour."""
    at = at + timedelta(minutes=15)
    return at.replace(minute=at.minute // 30 * 30, second=0, microsecond=0)


def moment(at: datetime, now: datetime, units: Units) -> str:
    """When that is, seen from now: "about 14:00", "tomorrow about 08:00", "on Sunday about 09:00"."""
    shown = clock(at, units)
    days = (at.date() - now.date()).days
    if days == 0:
        return say("units.today", clock=shown)
    if days == 1:
        return say("units.tomorrow", clock=shown)
    if 1 < days < 7:
        weekday = format_date(at.date(), "EEEE", locale=locale_of(units))
        return say("units.weekday", weekday=weekday, clock=shown)
    day = format_skeleton("MMMMd", at, locale=locale_of(units))
    return say("units.date", date=day, clock=shown)


def awake(at: datetime, morning: time) -> datetime:
    """The same moment, moved to the next morning when it would fall into the night."""
    if EARLY <= at.time() <= LATE:
        return at
    day = at if at.time() < EARLY else at + timedelta(days=1)
    return day.replace(hour=morning.hour, minute=morning.minute, second=0, microsecond=0)


def feed(keep_g: float, flour_g: float, water_g: float, units: Units) -> str:
    """A feed in words: grams, and for a US kitchen the spoons that come near."""
    if units == "us":
        return say(
            "units.feed_us",
            keep=grams(keep_g),
            flour=grams(flour_g),
            water=grams(water_g),
            keep_spoons=spoons(keep_g / 16),
            flour_spoons=spoons(flour_g / 7.8),
            water_spoons=spoons(water_g / 14.8),
        )
    return say("units.feed", keep=grams(keep_g), flour=grams(flour_g), water=grams(water_g))


def to_five(value_g: float) -> float:
    """To the nearest five grams, and never to nothing."""
    return max(5.0, 5.0 * round(value_g / 5.0))


def grams(value: float) -> str:
    """A mass on a kitchen scale: whole grams."""
    return f"{value:.0f} g"


def spoons(tablespoons: float) -> str:
    """Tablespoons to the nearest half; from four on, cups to the nearest quarter.

    >>> spoons(1.6), spoons(3.1), spoons(0.9), spoons(14.5)
    ('1½ tablespoons', '3 tablespoons', '1 tablespoon', '1 cup')
    """
    if tablespoons >= TABLESPOONS_IN_A_CUP / 4:
        quarters = round(tablespoons / TABLESPOONS_IN_A_CUP * 4)
        whole, part = divmod(quarters, 4)
        written = f"{whole or ''}{('', '¼', '½', '¾')[part]}"
        return say("units.cups", count=2 if quarters > 4 else 1, written=written)
    halves = max(round(tablespoons * 2), 1)
    whole, half = divmod(halves, 2)
    written = f"{whole or ''}{'½' if half else ''}"
    return say("units.spoons", count=halves / 2 if halves > 2 else 1, written=written)
