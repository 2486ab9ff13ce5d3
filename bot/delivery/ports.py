"""What delivery needs of the world: a place that keeps, and a service that sends.

``storage`` implements Store (SQLite, PostgreSQL, and memory for replay-like tests);
``channels`` implement Channel. Every method that takes ``now`` uses it as the only clock.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import AbstractAsyncContextManager
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import IntEnum
from typing import Protocol

from bot.culture.state import Dossier
from bot.turn import Heard, Turn
from bot.voice.message import Message


class Rank(IntEnum):
    """Replies go before prompts, prompts before broadcasts."""

    REPLY = 0
    PROMPT = 1
    BROADCAST = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Inbound:
    """One update of the service, durable before it is acknowledged.

    ``key`` is unique for ever ("tg:8841"): a redelivered update changes nothing. ``chat`` is the
    person's key too ("tg:12345"); order is kept within it.
    """

    key: str
    chat: str
    heard: Heard
    received_at: datetime
    tries: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outgoing:
    """One message that is kept and not yet known to have arrived."""

    id: int
    key: str
    chat: str
    rank: Rank
    message: Message
    queued_at: datetime
    tries: int = 0
    plain: bool = False
    """The service called it malformed: send it as plain text without choices."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """The service took it; ``message`` is the service's key of what was sent."""

    message: str


class Conversation(Protocol):
    """One person, locked: nobody else hears or speaks to them until it is left."""

    @property
    def dossier(self) -> Dossier: ...

    async def keep(self, turn: Turn, *, now: datetime, cause: str) -> None:
        """Entries, outbox rows and the next prompt's instant, in one transaction.

        ``cause`` is the inbound key, or "prompt:<person>:<due instant>": a second ``keep`` with the
        same cause changes nothing. An inbound cause is marked as handled in the same transaction.
        """
        ...


class Store(Protocol):
    async def receive(self, inbound: Inbound) -> bool:
        """Keep an update durably; False when its key was known already."""
        ...

    async def take_inbound(
        self, *, now: datetime, claim_for: timedelta, limit: int
    ) -> Sequence[Inbound]:
        """Claim the oldest waiting update of each of up to ``limit`` chats that have none in hand."""
        ...

    async def fail_inbound(self, key: str, *, now: datetime, why: str, retry_at: datetime) -> bool:
        """Count a failed try. After the third it is set aside (False) for an operator to see."""
        ...

    def conversation(self, person_key: str) -> AbstractAsyncContextManager[Conversation]:
        """Lock and load one person; a person never seen has an empty dossier."""
        ...

    async def take_due(self, *, now: datetime, claim_for: timedelta, limit: int) -> Sequence[str]:
        """Claim people whose next prompt's instant has come, in a stable order."""
        ...

    async def take_outgoing(
        self, *, now: datetime, claim_for: timedelta, limit: int
    ) -> Sequence[Outgoing]:
        """Claim messages to send: by rank, then age; within a chat strictly in order."""
        ...

    async def sent(self, outgoing: Outgoing, receipt: Receipt, *, now: datetime) -> None: ...

    async def send_later(
        self, outgoing: Outgoing, *, at: datetime, why: str, plain: bool = False
    ) -> None: ...

    async def give_up_sending(self, outgoing: Outgoing, *, now: datetime, why: str) -> None:
        """It will never arrive: keep it with the reason."""
        ...

    async def rest_chat(self, chat: str, *, now: datetime) -> None:
        """The person blocked us: no prompts until they write again."""
        ...

    async def chat_moved(self, chat: str, new_chat: str) -> None: ...

    async def next_due(self) -> datetime | None:
        """The earliest instant at which there is something to do, None when there is nothing."""
        ...

    async def close(self) -> None: ...


class Channel(Protocol):
    """A messaging service. Raises only ChannelError and its kinds."""

    async def send(self, chat: str, message: Message, *, plain: bool) -> Receipt: ...


class Source(Protocol):
    """Where updates come from, one after another."""

    def updates(self) -> AsyncIterator[Inbound]: ...
