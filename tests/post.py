"""People, messages and turns as the storage and delivery tests need them, with defaults."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from bot.culture.journal import Entry, Reported
from bot.delivery.ports import Conversation, Inbound, Kept, Pace, Store
from bot.turn import Said, Turn
from bot.voice.message import Message

MONDAY = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
SECOND = timedelta(seconds=1)
CLAIM = timedelta(seconds=15)
UNPACED = Pace(per_second=None, per_chat_s=0)


def inbound(
    number: int, *, chat: str = "ada", text: str = "doubled", at: datetime = MONDAY
) -> Inbound:
    return Inbound(
        key=f"u:{number}", chat=chat, heard=Said(text=text, at=at), received_at=at, order=number
    )


def report(number: int, *, text: str = "doubled", at: datetime = MONDAY) -> Entry:
    return Entry(number=number, at=at, event=Reported(text=text), culture="c1")


def reply(text: str = "Good.") -> Message:
    return Message(kind="reply", text=text)


async def keep(
    store: Store,
    *,
    person: str = "ada",
    cause: str,
    texts: tuple[str, ...] = ("Good.",),
    next_prompt_at: datetime | None = None,
    now: datetime = MONDAY,
) -> Kept:
    """One report kept, with replies."""
    talk: Conversation = await store.conversation(person)
    turn = Turn(
        entries=(report(talk.dossier.last_number + 1, at=now),),
        messages=tuple(reply(text) for text in texts),
        next_prompt_at=next_prompt_at,
    )
    return await store.keep(talk, turn, now=now, cause=cause)
