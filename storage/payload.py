"""Values to text and back, exactly: what a row holds of an event, a message, an update."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from typing import Annotated

from pydantic import Field, TypeAdapter

from bot.culture.journal import Entry, Event
from bot.turn import Heard
from bot.voice.message import Message

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MICROSECOND = timedelta(microseconds=1)


def instant(at: datetime) -> int:
    """Microseconds since 1970 in UTC. Raises ValueError for a time without a zone."""
    if at.tzinfo is None:
        raise ValueError("an instant needs a zone")
    return (at - EPOCH) // MICROSECOND


def moment(microseconds: int) -> datetime:
    """The instant as an aware time in UTC."""
    return EPOCH + timedelta(microseconds=microseconds)


def local_moment(microseconds: int, offset_s: int) -> datetime:
    """The instant as it stood on a clock ``offset_s`` seconds east of UTC."""
    return moment(microseconds).astimezone(timezone(timedelta(seconds=offset_s)))


def entry_values(person: str, entry: Entry) -> dict[str, object]:
    """The row of an entry."""
    offset = entry.at.utcoffset()
    assert offset is not None
    return {
        "person": person,
        "number": entry.number,
        "culture": entry.culture,
        "at": instant(entry.at),
        "offset_s": int(offset.total_seconds()),
        "kind": entry.event.kind,
        "payload": _events().dump_json(entry.event, exclude_defaults=False).decode(),
    }


def entry_of(number: int, culture: str | None, at: int, offset_s: int, payload: str) -> Entry:
    """The entry of a row."""
    return Entry(
        number=number,
        culture=culture,
        at=local_moment(at, offset_s),
        event=_events().validate_json(payload),
    )


def as_stored(entry: Entry) -> Entry:
    """The entry as it will be when it is loaded again: fixed offsets in place of named zones."""
    row = entry_values("", entry)
    return entry_of(
        entry.number,
        entry.culture,
        instant(entry.at),
        int(str(row["offset_s"])),
        str(row["payload"]),
    )


def heard_text(heard: Heard) -> str:
    return _heard().dump_json(heard).decode()


def heard_of(text: str) -> Heard:
    return _heard().validate_json(text)


def message_text(message: Message) -> str:
    return _messages().dump_json(message).decode()


def message_of(text: str) -> Message:
    return _messages().validate_json(text)


@cache
def _events() -> TypeAdapter[Event]:
    return TypeAdapter(Annotated[Event, Field(discriminator="kind")])


@cache
def _heard() -> TypeAdapter[Heard]:
    return TypeAdapter(Annotated[Heard, Field(discriminator="kind")])


@cache
def _messages() -> TypeAdapter[Message]:
    return TypeAdapter(Message)
