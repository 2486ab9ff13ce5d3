"""One moment and one way to read, for tests that are not about either."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

from bot.culture.vocabulary import Units
from bot.reading.reader import read
from bot.reading.reading import Reading

TUESDAY_EVENING = datetime(2026, 3, 10, 18, 0, tzinfo=timezone(timedelta(hours=1)))


def reads(
    text: str,
    *,
    at: datetime = TUESDAY_EVENING,
    units: Units = "metric",
    cultures: tuple[str, ...] = (),
) -> Reading:
    return read(text, at=at, units=units, cultures=cultures)
