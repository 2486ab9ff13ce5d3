"""Handles what was received: chats side by side, one message of a chat after another."""

from __future__ import annotations

import asyncio
import random
from collections import Counter
from collections.abc import Sequence
from datetime import timedelta
from functools import partial

from bot.delivery.clock import Clock
from bot.delivery.desk import Desk
from bot.delivery.pace import backoff
from bot.delivery.ports import Inbound, Store
from bot.delivery.trouble import LOG, insist, whereabouts
from bot.errors import DatabaseAway

CLAIM_FOR = timedelta(seconds=15)
"""How long a message stays in the hand of a process that has died, before another takes it."""


class Listener:
    """``at_once`` messages are in hand at most, each of another chat."""

    def __init__(
        self,
        *,
        store: Store,
        desk: Desk,
        clock: Clock,
        luck: random.Random,
        answered: asyncio.Event,
        at_once: int = 16,
    ) -> None:
        """``answered`` is set when something was handled: there may be something to send."""
        self._store = store
        self._desk = desk
        self._clock = clock
        self._luck = luck
        self._at_once = at_once
        self._answered = answered
        self._owed: Counter[str] = Counter()
        """Messages received here and not handled yet. Only saves looking for more in vain: the tick
        looks all the same."""
        self._finishing = False
        self._in_hand: set[asyncio.Task[None]] = set()
        self.bell = asyncio.Event()
        """Rung when there may be something to do."""

    async def receive(self, inbounds: Sequence[Inbound]) -> None:
        """Returns once they are durable, however long the database is away."""
        await insist(
            lambda: self._store.receive(inbounds),
            clock=self._clock,
            luck=self._luck,
            action="receive",
        )
        self._owed.update(inbound.chat for inbound in inbounds)
        self.bell.set()

    async def hear_ready(self) -> int:
        """Handle one message of each chat that has one waiting; how many there were."""
        taken = await self._take(self._at_once)
        await asyncio.gather(*(self._hear(inbound) for inbound in taken))
        return len(taken)

    async def run(self) -> None:
        """Until told to finish. Waits for the bell when nothing is left."""
        while not self._finishing:
            self.bell.clear()
            free = self._at_once - len(self._in_hand)
            taken = await self._take(free) if free else ()
            for inbound in taken:
                task = asyncio.create_task(self._hear(inbound))
                self._in_hand.add(task)
                task.add_done_callback(partial(self._put_down, inbound))
            await self.bell.wait()

    async def finish(self) -> None:
        """Take nothing new; returns when nothing is in hand."""
        self._finishing = True
        self.bell.set()
        while self._in_hand:
            await asyncio.wait(self._in_hand)

    def _put_down(self, inbound: Inbound, task: asyncio.Task[None]) -> None:
        was_full = len(self._in_hand) >= self._at_once
        self._in_hand.discard(task)
        self._owed[inbound.chat] -= 1
        if was_full or self._owed[inbound.chat] > 0:
            self.bell.set()
        else:
            del self._owed[inbound.chat]

    async def _take(self, limit: int) -> Sequence[Inbound]:
        return await insist(
            lambda: self._store.take_inbound(
                now=self._clock.now(), claim_for=CLAIM_FOR, limit=limit
            ),
            clock=self._clock,
            luck=self._luck,
            action="take-inbound",
        )

    async def _hear(self, inbound: Inbound) -> None:
        async def hear() -> None:
            await self._desk.hear(inbound, now=self._clock.now())

        try:
            await insist(hear, clock=self._clock, luck=self._luck, action="hear")
        except Exception as wrong:  # noqa: BLE001 - the edge of one update: told, counted, carried on
            await self._failed(inbound, whereabouts(wrong))
        self._answered.set()

    async def _failed(self, inbound: Inbound, why: str) -> None:
        LOG.error("update-failed", extra={"action": "hear", "key": inbound.key, "why": why})

        async def count() -> bool:
            now = self._clock.now()
            retry_at = now + backoff(inbound.tries + 1, luck=self._luck.random())
            return await self._store.fail_inbound(inbound.key, now=now, why=why, retry_at=retry_at)

        async def apologise() -> None:
            await self._desk.apologise(inbound, now=self._clock.now())

        try:
            if not await insist(count, clock=self._clock, luck=self._luck, action="count"):
                LOG.error("update-set-aside", extra={"action": "hear", "key": inbound.key})
                await insist(apologise, clock=self._clock, luck=self._luck, action="apologise")
        except DatabaseAway:
            raise
        except Exception as wrong:  # noqa: BLE001 - the claim runs out and the update comes again
            LOG.error("update-stuck", extra={"action": "hear", "why": whereabouts(wrong)})
