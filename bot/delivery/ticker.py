"""The real clock and the one recurring job. Nothing else in Jarside asks what time it is."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, timedelta

from apscheduler.schedulers.asyncio import AsyncIOScheduler
from apscheduler.triggers.interval import IntervalTrigger

SLIP = timedelta(seconds=2)
"""A wall clock that parts from the steady one by more than this was set by somebody."""


class SystemClock:
    """The machine's wall clock, in UTC."""

    def now(self) -> datetime:
        return datetime.now(UTC)

    async def sleep_until(self, at: datetime) -> None:
        await asyncio.sleep(max(0.0, (at - self.now()).total_seconds()))


class Ticker:
    """Calls ``act`` every ``every_s`` seconds: late calls are made once, and never two at a time.

    The scheduler keeps wall-clock times, so a clock that is set back would stop it for as long as
    it was set back by. A watch on the steady clock starts the job afresh and tells ``on_slip`` by
    how much the wall clock has moved.
    """

    def __init__(
        self,
        act: Callable[[], Awaitable[None]],
        *,
        every_s: float = 1.0,
        on_slip: Callable[[timedelta], Awaitable[None]] | None = None,
        wall: Callable[[], datetime] | None = None,
    ) -> None:
        self._act = act
        self._every_s = every_s
        self._on_slip = on_slip
        self._wall = wall or SystemClock().now
        self._scheduler = AsyncIOScheduler(timezone=UTC)
        self._watch: asyncio.Task[None] | None = None

    def start(self) -> None:
        self._scheduler.add_job(
            self._act,
            IntervalTrigger(seconds=self._every_s, timezone=UTC),
            id="tick",
            coalesce=True,
            max_instances=1,
            misfire_grace_time=None,
        )
        self._scheduler.start()
        self._watch = asyncio.create_task(self._keep_watch())

    async def stop(self) -> None:
        if self._watch is not None:
            self._watch.cancel()
            await asyncio.gather(self._watch, return_exceptions=True)
        if self._scheduler.running:
            self._scheduler.shutdown(wait=False)

    async def _keep_watch(self) -> None:
        wall, steady = self._wall(), time.monotonic()
        while True:
            await asyncio.sleep(self._every_s)
            wall_now, steady_now = self._wall(), time.monotonic()
            slip = (wall_now - wall) - timedelta(seconds=steady_now - steady)
            wall, steady = wall_now, steady_now
            if abs(slip) <= SLIP:
                continue
            self._scheduler.reschedule_job(
                "tick", trigger=IntervalTrigger(seconds=self._every_s, timezone=UTC)
            )
            if self._on_slip is not None:
                await self._on_slip(slip)
