"""Runs the source of updates in one process at a time, whichever of them is alive."""

from __future__ import annotations

import asyncio
from datetime import timedelta
from typing import Final
from uuid import uuid4

from bot.delivery.clock import Clock
from bot.delivery.ports import Receive, Source, Store
from bot.delivery.trouble import LOG, whereabouts
from bot.errors import DatabaseError, Refused

LEASE: Final = "source"
HOLD_FOR: Final = timedelta(seconds=6)
RENEW_S: Final = 2.0
STUMBLE_S: Final = 1.0


class Intake:
    """Two pollers would steal each other's fetches, so a poller needs the lease; a process that dies
    loses it within seconds. Two at once for a moment do no harm: every update is kept once."""

    def __init__(
        self,
        *,
        store: Store,
        source: Source,
        receive: Receive,
        clock: Clock,
        renew_s: float = RENEW_S,
    ) -> None:
        self._store = store
        self._source = source
        self._receive = receive
        self._clock = clock
        self._renew_s = renew_s
        self._holder = uuid4().hex

    async def run(self) -> None:
        """Until cancelled. Raises Refused when the service will never let us in."""
        try:
            while True:
                if await self._has_lease():
                    await self._while_leased()
                await asyncio.sleep(self._renew_s)
        finally:
            await self._give_back()

    async def _while_leased(self) -> None:
        """Returns when the lease is lost."""
        working = asyncio.create_task(self._work())
        try:
            while True:
                await asyncio.wait({working}, timeout=self._renew_s)
                if working.done():
                    return working.result()
                if not await self._has_lease():
                    LOG.warning("lease-lost", extra={"action": "receive"})
                    return None
        finally:
            working.cancel()
            await asyncio.wait({working})

    async def _work(self) -> None:
        loop = asyncio.get_running_loop()
        while True:
            began = loop.time()
            try:
                await self._source.run(self._receive)
                return
            except Refused:
                # One that worked until now is in a duel with a process that was frozen and has
                # woken up: that one finds its lease gone in a moment.
                if loop.time() - began < HOLD_FOR.total_seconds():
                    raise
                LOG.warning("refused-for-now", extra={"action": "receive"})
                await asyncio.sleep(HOLD_FOR.total_seconds() / 2)
            except Exception as wrong:  # noqa: BLE001 - a source that stumbles is started again
                LOG.error("source-failed", extra={"action": "receive", "why": whereabouts(wrong)})
                await asyncio.sleep(STUMBLE_S)

    async def _has_lease(self) -> bool:
        try:
            return await self._store.take_lease(
                LEASE, self._holder, now=self._clock.now(), hold_for=HOLD_FOR
            )
        except DatabaseError as wrong:
            # Go on as before: while the database is away nobody else can take the lease either.
            LOG.warning("database-away", extra={"action": "lease", "why": str(wrong)})
            return True

    async def _give_back(self) -> None:
        try:
            await self._store.give_back_lease(LEASE, self._holder)
        except DatabaseError:
            return  # it ends by itself
