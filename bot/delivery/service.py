"""The whole shell, running: receive, hear, speak, send, until it is told to stop."""

from __future__ import annotations

import asyncio
import random
from collections.abc import Awaitable, Callable
from datetime import datetime, timedelta

from bot.delivery.clock import Clock
from bot.delivery.desk import Coach, Desk
from bot.delivery.inbox import Listener
from bot.delivery.intake import Intake
from bot.delivery.outbox import Sender
from bot.delivery.ports import Channel, Pace, Receive, Source, Store
from bot.delivery.prompter import Prompter
from bot.delivery.ticker import Ticker
from bot.delivery.trouble import LOG, insist, whereabouts

FINISH_WITHIN_S = 12.0
"""Longer than one send may take: what is on its way is seen home before the process ends."""

TIDY_EVERY = timedelta(minutes=10)


class Service:
    """Live parts on one store. ``source`` is None where updates arrive by ``receive`` alone.

    Nothing is lost when the process dies at any instant; ``stop`` only makes it tidy.
    """

    def __init__(
        self,
        *,
        store: Store,
        coach: Coach,
        channel: Channel,
        clock: Clock,
        source: Source | None = None,
        pace: Pace | None = None,
        seed: int | None = None,
        tick_s: float = 1.0,
    ) -> None:
        pace = pace or Pace()
        luck = random.Random(seed)  # noqa: S311 - spreads retries, guards nothing
        desk = Desk(store, coach)
        self._store = store
        self._clock = clock
        self._luck = luck
        self._pace = pace
        self._due = asyncio.Event()
        self._sender = Sender(
            store=store, channel=channel, clock=clock, luck=luck, pace=pace, left=self._due
        )
        self._prompter = Prompter(store=store, desk=desk, clock=clock, luck=luck, pace=pace)
        self._listener = Listener(
            store=store, desk=desk, clock=clock, luck=luck, answered=self._sender.bell
        )
        self._source = (
            None
            if source is None
            else Intake(store=store, source=source, receive=self._listener.receive, clock=clock)
        )
        self._tidy_at = clock.now() + TIDY_EVERY
        self._ticker = Ticker(self.tick, every_s=tick_s, on_slip=self._clock_slipped)
        self._stop = asyncio.Event()
        self._loops: list[asyncio.Task[None]] = []
        self._intake: asyncio.Task[None] | None = None

    @property
    def receive(self) -> Receive:
        """Where a webhook or a terminal hands updates in: returns once they are durable."""
        return self._listener.receive

    async def tick(self) -> None:
        """Look at everything once: what is due, what may be retried, what a dead process left."""
        self._due.set()
        self._listener.bell.set()
        self._sender.bell.set()
        if self._clock.now() >= self._tidy_at:
            self._tidy_at = self._clock.now() + TIDY_EVERY
            await insist(
                lambda: self._store.tidy(now=self._clock.now()),
                clock=self._clock,
                luck=self._luck,
                action="tidy",
            )

    async def settle(self, until: datetime | None = None) -> None:
        """Do everything that is due up to an instant, each at its own time, moving a clock that can
        be moved (``move_to``). For clocks that are not the machine's, and without ``start``."""
        while True:
            done = await self._listener.hear_ready()
            done += await self._prompter.speak_due()
            done += await self._sender.send_ready()
            if done:
                continue
            due = await self._store.next_due()
            move_to: Callable[[datetime], None] | None = getattr(self._clock, "move_to", None)
            if move_to is None or until is None:
                return
            if due is None or due > until:
                move_to(until)
                return
            # What is due and was not done waits for something else: look again a tick later.
            move_to(max(due, self._clock.now() + timedelta(seconds=1)))

    async def start(self) -> None:
        self._loops = [
            asyncio.create_task(self._forever(self._listener.run, "hear")),
            asyncio.create_task(self._forever(self._prompt, "speak")),
            asyncio.create_task(self._forever(self._sender.run, "send")),
        ]
        if self._source is not None:
            self._intake = asyncio.create_task(self._source.run())
        self._ticker.start()
        await self.tick()

    async def run(self) -> None:
        """Start, and return after ``request_stop``. Raises Refused when the service will not have us."""
        await self.start()
        stopping = asyncio.create_task(self._stop.wait())
        waiting = {stopping} if self._intake is None else {stopping, self._intake}
        try:
            await asyncio.wait(waiting, return_when=asyncio.FIRST_COMPLETED)
        finally:
            stopping.cancel()
            await self.stop()
        if self._intake is not None and self._intake.done() and not self._intake.cancelled():
            self._intake.result()

    def request_stop(self) -> None:
        """Safe in a signal handler."""
        self._stop.set()

    async def stop(self) -> None:
        """Take nothing new, see home what is in hand, stop."""
        await self._ticker.stop()
        if self._intake is not None and not self._intake.done():
            self._intake.cancel()
            await asyncio.wait([self._intake])
        self._stop.set()
        self._due.set()
        try:
            async with asyncio.timeout(FINISH_WITHIN_S):
                await self._listener.finish()
                await self._sender.finish()
                # Not cancelled unless they must be: a transaction that is cut off half-way costs
                # its connection.
                await asyncio.gather(*(asyncio.shield(loop) for loop in self._loops))
        except TimeoutError:
            LOG.warning("left-in-hand", extra={"action": "stop"})
            for loop in self._loops:
                loop.cancel()
            await asyncio.gather(*self._loops, return_exceptions=True)

    async def _prompt(self) -> None:
        while not self._stop.is_set():
            self._due.clear()
            if await self._prompter.speak_due():
                self._sender.bell.set()
            await self._due.wait()

    async def _forever(self, loop: Callable[[], Awaitable[None]], action: str) -> None:
        while not self._stop.is_set():
            try:
                await loop()
            except Exception as wrong:  # noqa: BLE001 - a loop that ends would end the bot unseen
                LOG.error("loop-failed", extra={"action": action, "why": whereabouts(wrong)})
                await asyncio.sleep(1)

    async def _clock_slipped(self, slip: timedelta) -> None:
        LOG.warning("clock-moved", extra={"action": "tick", "seconds": slip.total_seconds()})
        if slip < timedelta(0):
            self._sender.clock_set_back()
            await insist(
                lambda: self._store.clock_set_back(now=self._clock.now()),
                clock=self._clock,
                luck=self._luck,
                action="clock",
            )
        await self.tick()
