"""Makes the prompts that are due, no faster than they can leave."""

from __future__ import annotations

import asyncio
import random
from collections.abc import Sequence
from datetime import timedelta

from bot.delivery.clock import Clock
from bot.delivery.desk import Desk
from bot.delivery.ports import Pace, Store
from bot.delivery.trouble import LOG, insist, whereabouts

CLAIM_FOR = timedelta(seconds=30)

WORTH_S = 2.0
"""Seconds' worth of prompts that may wait to be sent: what a prompt says is true when it arrives."""

UNPACED = 200
"""Prompts that may wait when there is no pace."""


class Prompter:
    def __init__(
        self, *, store: Store, desk: Desk, clock: Clock, luck: random.Random, pace: Pace
    ) -> None:
        self._store = store
        self._desk = desk
        self._clock = clock
        self._luck = luck
        self._most = (
            UNPACED if pace.per_second is None else max(1, round(WORTH_S * pace.per_second))
        )

    async def speak_due(self) -> int:
        """Make prompts until nobody is due or enough are waiting to be sent; how many were due."""
        due = 0
        while people := await insist(
            self._take, clock=self._clock, luck=self._luck, action="take-due"
        ):
            await asyncio.gather(*(self._speak(person) for person in people))
            due += len(people)
        return due

    async def _take(self) -> Sequence[str]:
        room = self._most - await self._store.waiting_prompts()
        if 2 * room < self._most:  # a few at a time would cost a transaction each
            return ()
        return await self._store.take_due(now=self._clock.now(), claim_for=CLAIM_FOR, limit=room)

    async def _speak(self, person: str) -> None:
        async def speak() -> bool:
            return await self._desk.speak(person, now=self._clock.now())

        try:
            await insist(speak, clock=self._clock, luck=self._luck, action="speak")
        except Exception as wrong:  # noqa: BLE001 - one person's prompt must not stop the others'
            LOG.error("prompt-failed", extra={"action": "speak", "why": whereabouts(wrong)})
