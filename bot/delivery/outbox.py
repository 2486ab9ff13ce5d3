"""Sends what is kept: in order, at the service's pace, again when it failed, never for ever."""

from __future__ import annotations

import asyncio
import random
from collections.abc import Awaitable, Callable, Sequence
from datetime import datetime, timedelta
from functools import partial
from typing import TypeVar

from bot.delivery.clock import Clock
from bot.delivery.pace import AHEAD, Gate, backoff
from bot.delivery.ports import Channel, Outgoing, Pace, Receipt, Store
from bot.delivery.trouble import LOG, insist, whereabouts
from bot.errors import ChatMoved, GoneForGood, Malformed, Refused, TryLater
from bot.voice.message import Kind

Answer = TypeVar("Answer")

CLAIM_FOR = timedelta(seconds=20)
SEND_WITHIN = timedelta(seconds=10)
"""A service that has not answered by then is taken to be away. Half of a claim, so that nobody else
takes a message while it is being sent."""

AT_ONCE = 8
"""Messages on the way, by measurement: one costs 1.1 ms of processor time with up to 8 of them, 1.7
with 16 and 2.0 with 32 (the HTTP client looks at all its connections each time). Eight are enough for
30 a second with a service 250 ms away. It is also the most that a death can double."""

REFUSED_WAIT = timedelta(minutes=1)
STALE: dict[Kind, timedelta] = {"reply": timedelta(days=3), "prompt": timedelta(hours=12)}
"""Older than this a message helps nobody any more: the next morning says what this one would have."""


class Sender:
    """``at_once`` messages are on their way at most, each to another chat."""

    def __init__(
        self,
        *,
        store: Store,
        channel: Channel,
        clock: Clock,
        luck: random.Random,
        pace: Pace,
        left: asyncio.Event,
        at_once: int = AT_ONCE,
    ) -> None:
        """``left`` is set when something has gone: there is room for more prompts."""
        self._store = store
        self._channel = channel
        self._clock = clock
        self._luck = luck
        self._pace = pace
        self._at_once = at_once
        self._finishing = False
        self._held_until = clock.now()
        self._left = left
        self._gate = Gate(0 if pace.per_second is None else int(pace.per_second))
        self._starting = asyncio.Lock()
        self._on_the_way: dict[int, asyncio.Task[None]] = {}
        self.bell = asyncio.Event()
        """Rung when there may be something to send."""

    async def send_ready(self) -> int:
        """Send one message to each chat that may have one now, one by one, each at its slot.

        For a clock that those who wait move by themselves; how many there were.
        """
        taken = await self._take(self._at_once)
        for outgoing in taken:
            await self._deliver(outgoing)
        return len(taken)

    async def run(self) -> None:
        """Until told to finish. Waits for the bell when nothing is left."""
        while not self._finishing:
            self.bell.clear()
            free = self._at_once - len(self._on_the_way)
            taken = await self._take(free) if free else ()
            for outgoing in taken:
                # A clock that leapt ahead ends claims of our own that are still being sent.
                if outgoing.id not in self._on_the_way:
                    task = asyncio.create_task(self._deliver(outgoing))
                    self._on_the_way[outgoing.id] = task
                    task.add_done_callback(partial(self._arrived, outgoing))
            if taken and taken[-1].send_at > self._clock.now() + AHEAD / 2:
                # The slots ran out, not the messages; new ones come as those given out are used.
                await asyncio.sleep(AHEAD.total_seconds() / 4)
            elif len(taken) < free or not free:
                await self.bell.wait()

    def clock_set_back(self) -> None:
        """Forget a wait that was measured by a clock running ahead."""
        self._held_until = self._clock.now()

    async def finish(self) -> None:
        """Take nothing new; returns when nothing is on its way."""
        self._finishing = True
        self.bell.set()
        while self._on_the_way:
            await asyncio.wait(self._on_the_way.values())

    def _arrived(self, outgoing: Outgoing, task: asyncio.Task[None]) -> None:
        if not task.cancelled() and (wrong := task.exception()) is not None:
            # Its claim runs out, and it is tried again.
            LOG.error("send-stuck", extra={"action": "send", "why": whereabouts(wrong)})
        was_full = len(self._on_the_way) >= self._at_once
        del self._on_the_way[outgoing.id]
        self._left.set()
        if was_full:
            self.bell.set()
        elif outgoing.more:
            asyncio.get_running_loop().call_later(self._pace.per_chat_s, self.bell.set)

    async def _take(self, limit: int) -> Sequence[Outgoing]:
        return await self._insist(
            lambda: self._store.take_outgoing(
                now=self._clock.now(), claim_for=CLAIM_FOR, limit=limit, pace=self._pace
            )
        )

    async def _deliver(self, outgoing: Outgoing) -> None:
        ended = await self._may_start(outgoing)
        now = self._clock.now()
        if now + SEND_WITHIN > outgoing.claimed_until:
            return  # we were held up, perhaps for long: it may be another process's by now
        if now < self._held_until:  # claimed before the service asked everyone to wait
            await self._later(outgoing, self._held_until, "the service asked to wait")
            return
        if now - outgoing.queued_at > STALE[outgoing.message.kind]:
            await self._give_up(outgoing, "too old to help")
            return
        try:
            receipt = await self._send(outgoing)
        except Exception as wrong:  # noqa: BLE001 - the edge of one message: each kind has its answer
            ended(self._clock.now())
            await self._failed(outgoing, wrong)
        else:
            ended(self._clock.now())
            await self._insist(
                lambda: self._store.sent(outgoing, receipt, now=self._clock.now(), pace=self._pace)
            )

    async def _may_start(self, outgoing: Outgoing) -> Callable[[datetime], None]:
        """Returns at the message's slot or later, with what is to be told of its end."""
        await self._clock.sleep_until(outgoing.send_at)
        async with self._starting:
            opens_at = self._gate.opens_at()
            if opens_at is not None:
                await self._clock.sleep_until(opens_at)
            return self._gate.start(self._clock.now())

    async def _send(self, outgoing: Outgoing) -> Receipt:
        try:
            async with asyncio.timeout(SEND_WITHIN.total_seconds()):
                return await self._channel.send(
                    outgoing.chat, outgoing.message, plain=outgoing.plain
                )
        except TimeoutError as wrong:
            raise TryLater(maybe_arrived=True) from wrong

    async def _failed(self, outgoing: Outgoing, wrong: Exception) -> None:
        now = self._clock.now()
        wait = backoff(outgoing.tries + 1, luck=self._luck.random())
        match wrong:
            case TryLater(after_s=None):
                await self._later(outgoing, now + wait, "the service is away")
            case TryLater():
                until = now + timedelta(seconds=wrong.after_s or 0)
                if wrong.everyone:
                    self._held_until = max(self._held_until, until)
                    LOG.warning("asked-to-wait", extra={"action": "send", "until": str(until)})
                    await self._insist(lambda: self._store.hold_sending(until=until))
                await self._later(outgoing, until, "the service asked to wait")
            case GoneForGood():
                LOG.info("chat-at-rest", extra={"action": "send"})
                await self._insist(lambda: self._store.rest_chat(outgoing.chat, now=now))
            case ChatMoved():
                new_chat = wrong.new_chat
                await self._insist(lambda: self._store.chat_moved(outgoing.chat, new_chat))
                self.bell.set()
            case Malformed() if not outgoing.plain:
                LOG.error("malformed", extra={"action": "send", "key": outgoing.key})
                await self._insist(
                    lambda: self._store.send_later(
                        outgoing, at=now, why="the service found fault with it", plain=True
                    )
                )
                self.bell.set()
            case Malformed():
                LOG.error("malformed-plain", extra={"action": "send", "key": outgoing.key})
                await self._give_up(outgoing, "the service found fault with it, plain too")
            case Refused():
                LOG.error("refused", extra={"action": "send"})
                until = now + REFUSED_WAIT
                await self._insist(lambda: self._store.hold_sending(until=until))
                await self._later(outgoing, until, "the service refuses us")
            case _:
                why = whereabouts(wrong)
                LOG.error("send-failed", extra={"action": "send", "why": why})
                await self._later(outgoing, now + wait, why)

    async def _later(self, outgoing: Outgoing, at: datetime, why: str) -> None:
        await self._insist(lambda: self._store.send_later(outgoing, at=at, why=why))

    async def _give_up(self, outgoing: Outgoing, why: str) -> None:
        LOG.warning("given-up", extra={"action": "send", "key": outgoing.key, "why": why})
        now = self._clock.now()
        await self._insist(lambda: self._store.give_up_sending(outgoing, now=now, why=why))

    async def _insist(self, act: Callable[[], Awaitable[Answer]]) -> Answer:
        return await insist(act, clock=self._clock, luck=self._luck, action="outbox")
