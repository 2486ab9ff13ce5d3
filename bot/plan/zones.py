"""Where a person is: an IANA zone from a city, an offset or a place on the map."""

from __future__ import annotations

import re
from datetime import UTC, timedelta, timezone, tzinfo
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.errors import InputError

_OFFSET = re.compile(r"([+-])(\d{2}):(\d{2})")


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


def zone_at(latitude: float, longitude: float) -> str | None:
    """The IANA key of a place on the map, in degrees; None when it is not on the map."""
    import tzfpy  # its map takes a while to open, and few people share a location

    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        return None
    found = tzfpy.get_tz(longitude, latitude)
    return found or None
