"""What delivery needs of the world: a place that keeps, and a service that sends.

``storage`` implements Store (SQLite and PostgreSQL); ``channels`` implement Channel and Source.
Every method that takes ``now`` uses it as the only clock.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import IntEnum
from typing import Literal, Protocol, TypeAlias

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
    person's address ("tg:12345"); order is kept within it, by ``order`` (the service's running
    number, where it has one) and then by arrival.
    """

    key: str
    chat: str
    heard: Heard
    received_at: datetime
    order: int = 0
    tries: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outgoing:
    """One message that is claimed for sending until ``claimed_until``, to leave at ``send_at``."""

    id: int
    key: str
    chat: str
    rank: Rank
    message: Message
    queued_at: datetime
    send_at: datetime
    claimed_until: datetime
    tries: int = 0
    plain: bool = False
    """The service called it malformed: send it as plain text without choices."""
    more: bool = False
    """Another message waits behind it in its chat."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """The service took it; ``message`` is the service's key of what was sent."""

    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How fast messages may leave: overall, and to one chat. None: as fast as they come."""

    per_second: float | None = 30.0
    per_chat_s: float = 1.0
    """Seconds between two messages to one chat."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversation:
    """One person as they were when loaded. A person never seen has an empty dossier, version 0."""

    person_key: str
    chat: str
    dossier: Dossier
    version: int
    next_prompt_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AsideInbound:
    """An update that failed three times and waits for an operator."""

    key: str
    chat: str
    received_at: datetime
    why: str


Kept: TypeAlias = Literal["kept", "known", "overtaken"]
"""What became of a turn: it is kept; its cause was kept before, so that nothing changed; or the
person's journal has moved on since it was loaded, so that nothing changed: load and decide again."""


class Store(Protocol):
    """Everything durable. Raises DatabaseAway when a later try may work, else DatabaseError."""

    async def receive(self, inbounds: Sequence[Inbound]) -> int:
        """Keep updates durably, all or none; the number of those whose key was new."""
        ...

    async def take_inbound(
        self, *, now: datetime, claim_for: timedelta, limit: int
    ) -> Sequence[Inbound]:
        """Claim the oldest waiting update of each of up to ``limit`` chats that have none in hand."""
        ...

    async def fail_inbound(self, key: str, *, now: datetime, why: str, retry_at: datetime) -> bool:
        """Count a failed try. After the third it is set aside (False) for an operator to see."""
        ...

    async def set_aside(self, *, limit: int = 100) -> Sequence[AsideInbound]:
        """Updates that were set aside, oldest first."""
        ...

    async def try_again(self, key: str) -> bool:
        """Let an update that was set aside be handled once more; False when there is none."""
        ...

    async def conversation(self, person: str) -> Conversation:
        """Load one person, by key or by address."""
        ...

    async def keep(
        self, conversation: Conversation, turn: Turn, *, now: datetime, cause: str
    ) -> Kept:
        """Entries, outbox rows and the next prompt's instant, in one durable transaction.

        ``cause`` is the inbound key, or "prompt:<person>:<due instant>": a second ``keep`` with the
        same cause changes nothing. An inbound cause is marked as handled in the same transaction.
        """
        ...

    async def take_due(self, *, now: datetime, claim_for: timedelta, limit: int) -> Sequence[str]:
        """Claim people whose next prompt's instant has come, by that instant, in a stable order."""
        ...

    async def waiting_prompts(self) -> int:
        """How many prompts are kept and not sent yet: the reason not to make more of them."""
        ...

    async def take_outgoing(
        self, *, now: datetime, claim_for: timedelta, limit: int, pace: Pace
    ) -> Sequence[Outgoing]:
        """Claim messages to send: by rank, then age; within a chat strictly in order, one at a time.

        The pace is one budget for every process on this database; ``send_at`` is the instant that
        the budget gives each message.
        """
        ...

    async def sent(
        self, outgoing: Outgoing, receipt: Receipt, *, now: datetime, pace: Pace
    ) -> None: ...

    async def send_later(
        self, outgoing: Outgoing, *, at: datetime, why: str, plain: bool = False
    ) -> None: ...

    async def give_up_sending(self, outgoing: Outgoing, *, now: datetime, why: str) -> None:
        """It will never arrive: keep it with the reason."""
        ...

    async def hold_sending(self, *, until: datetime) -> None:
        """Nobody sends anything before that instant: the service asked the whole bot to wait."""
        ...

    async def rest_chat(self, chat: str, *, now: datetime) -> None:
        """The person blocked us: nothing more is sent until they write again."""
        ...

    async def chat_moved(self, chat: str, new_chat: str) -> None: ...

    async def next_due(self) -> datetime | None:
        """The earliest instant at which there is something to do, None when there is nothing."""
        ...

    async def clock_set_back(self, *, now: datetime) -> None:
        """Forget waits and claims that a clock running ahead has left in the future."""
        ...

    async def take_lease(
        self, name: str, holder: str, *, now: datetime, hold_for: timedelta
    ) -> bool:
        """Take or renew the right to do what one process alone may do; False: another has it."""
        ...

    async def give_back_lease(self, name: str, holder: str) -> None:
        """For who stops of their own will, so that another need not wait for the lease to end."""
        ...

    async def tidy(self, *, now: datetime) -> int:
        """Delete some updates and messages that were done with long ago; how many. Cheap."""
        ...

    async def close(self) -> None: ...


Receive: TypeAlias = Callable[[Sequence[Inbound]], Awaitable[None]]
"""Returns once the updates are durable; retries by itself while the database is away."""


class Channel(Protocol):
    """A messaging service. Raises only ChannelError and its kinds."""

    async def send(self, chat: str, message: Message, *, plain: bool) -> Receipt: ...


class Source(Protocol):
    """Where updates come from."""

    async def run(self, receive: Receive) -> None:
        """Hand over updates, in batches, until cancelled.

        A batch may be acknowledged to the service only after ``receive`` has returned. Raises
        Refused when the service will never let us in.
        """
        ...
