"""A messaging service of one process: takes what is sent, or fails as it was told to."""

from __future__ import annotations

import asyncio
from collections import defaultdict, deque
from dataclasses import dataclass, field
from datetime import datetime

from bot.delivery.clock import Clock
from bot.delivery.ports import Receipt
from bot.voice.message import Message


@dataclass(frozen=True, slots=True)
class Letter:
    chat: str
    text: str
    plain: bool
    at: datetime


@dataclass
class Mailbox:
    """``faults[chat]`` are raised, one a send, before the chat takes a message. ``takes_s`` is how
    long the service is busy with one message."""

    clock: Clock
    takes_s: float = 0.0
    letters: list[Letter] = field(default_factory=list)
    faults: dict[str, deque[Exception]] = field(default_factory=lambda: defaultdict(deque))
    lost_answers: set[str] = field(default_factory=set)
    """Chats whose faults strike after the message was taken: the answer is lost on the way."""
    begun: asyncio.Event = field(default_factory=asyncio.Event)
    """Set when the first message is on its way."""
    _taken: asyncio.Event = field(default_factory=asyncio.Event)

    async def send(self, chat: str, message: Message, *, plain: bool) -> Receipt:
        self.begun.set()
        if self.takes_s:
            await asyncio.sleep(self.takes_s)
        fault = self.faults[chat].popleft() if self.faults[chat] else None
        if fault is None or chat in self.lost_answers:
            self._taken.set()
            self.letters.append(Letter(chat, message.text, plain, self.clock.now()))
        if fault is not None:
            raise fault
        return Receipt(message=str(len(self.letters)))

    async def until(self, count: int, *, within_s: float = 20) -> None:
        """Returns when that many messages have been taken. Raises TimeoutError."""
        async with asyncio.timeout(within_s):
            while len(self.letters) < count:
                await self._taken.wait()
                self._taken.clear()

    def texts(self, chat: str = "ada") -> list[str]:
        return [letter.text for letter in self.letters if letter.chat == chat]
