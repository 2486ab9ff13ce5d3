"""The door of the room: a message becomes a Reading, and never an error."""

from __future__ import annotations

from datetime import datetime

from bot.culture.vocabulary import Units
from bot.reading.reading import Reading


def read(text: str, *, at: datetime, units: Units, cultures: tuple[str, ...] = ()) -> Reading:
    """What ``text``, written at the aware moment ``at`` in the writer's own zone, says.

    ``units`` settles a bare number ("it's 72 in here"); ``cultures`` are the names of the writer's
    cultures, the first being the one a message is about if it names none. Total: any text reads.
    """
    return Reading(unread=(text,) if text.strip() else ())
