"""Where a person is: an IANA zone from a city, an offset or a place on the map."""

from __future__ import annotations

import re
from datetime import UTC, timedelta, timezone, tzinfo
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from bot.errors import InputError
from bot.plan.places import plain, zone_of_misspelt_place, zone_of_place

LONGEST_PLACE = 80
"""Letters: no town has a longer name that a person would type."""

_OFFSET = re.compile(r"([+-])(\d{2}):(\d{2})")
_TYPED_OFFSET = re.compile(
    r"(?:utc|gmt)?\s*([+\-\u2212\u2013])\s*(\d{1,2})(?:[:.]?(\d{2}))?(?:\s*(?:h|hours?))?",
    re.IGNORECASE,
)
_FRAME = re.compile(
    r"^(?:(?:i'?m|i am|we'?re|we are|i live|and|but|my|the|it'?s|time ?zone|zone|city|is|in|at|from|near|around|of|to|:)\s+)+"
    r"|\s+(?:time ?zone|time|zone|area|please|thanks)$",
    re.IGNORECASE,
)


@cache
def zone_info(key: str) -> tzinfo:
    """The zone of an IANA key ("Europe/Oslo") or an offset ("+05:30"). Raises InputError."""
    offset = _OFFSET.fullmatch(key)
    if offset is not None:
        sign, hours, minutes = offset.groups()
        east = timedelta(hours=int(hours), minutes=int(minutes))
        if int(minutes) > 59 or east > timedelta(hours=15):
            raise InputError(f"no place has the offset {key}")
        return timezone(east if sign == "+" else -east)
    if key == "UTC":
        return UTC
    try:
        return ZoneInfo(key)
    except (ZoneInfoNotFoundError, ValueError, OSError) as unknown:
        raise InputError(f"there is no time zone {key!r}") from unknown


def find_zone(text: str) -> str | None:
    """The zone that a person means: a place by any common spelling, an offset, an IANA key.

    Slips of the thumb are forgiven. None: no such place, or two that are far apart.

    >>> find_zone("UTC+1"), find_zone("gmt -3:30"), find_zone("+0545")
    ('+01:00', '-03:30', '+05:45')
    """
    return zone_called(text) or zone_of_misspelt_place(_stripped(text))


def zone_called(text: str) -> str | None:
    """Like ``find_zone``, but spelt rightly: for words that need not be a place at all."""
    said = _stripped(text)
    if not said or len(said) > LONGEST_PLACE:
        return None
    named = _iana_keys().get(said.casefold())
    return _offset(said) or named or _of_iana_towns().get(plain(said)) or zone_of_place(said)


def zone_at(latitude: float, longitude: float) -> str | None:
    """The IANA key of a place on the map, in degrees; None when it is not on the map."""
    import tzfpy  # its map takes a while to open, and few people share a location

    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        return None
    found = tzfpy.get_tz(longitude, latitude)
    return found or None


def _stripped(text: str) -> str:
    """The place itself, without "I'm in" before it and "time" after it."""
    said = " ".join(text.replace("\u2019", "'").split())
    return _FRAME.sub("", said.strip(" .,!?;:")).strip(" .,!?;:")


def _offset(said: str) -> str | None:
    typed = _TYPED_OFFSET.fullmatch(said)
    if typed is None:
        return None
    sign, hours, minutes = typed.groups()
    east = timedelta(hours=int(hours), minutes=int(minutes or 0))
    # Clocks run from 12 hours behind UTC to 14 ahead of it.
    if int(minutes or 0) > 59 or east > timedelta(hours=14 if sign == "+" else 12):
        return None
    return f"{'+' if sign == '+' else '-'}{int(hours):02}:{int(minutes or 0):02}"


@cache
def _iana_keys() -> dict[str, str]:
    """Keys that name a place, by small letters; "EST" and its like are read as people mean them."""
    return {
        key.casefold(): key
        for key in available_timezones()
        if "/" in key and not key.startswith(("Etc/", "SystemV/"))
    }


@cache
def _of_iana_towns() -> dict[str, str]:
    """The towns that zones are named after: the common answers need no list of towns."""
    towns: dict[str, str] = {}
    for key in sorted(available_timezones()):
        region, _, town = key.partition("/")
        if region in ("Africa", "America", "Asia", "Europe") and len(town) > 3 and "/" not in town:
            towns[plain(town)] = key
    return towns
