"""One process runs the source at a time; whoever is alive takes it over within seconds."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from datetime import timedelta

import pytest

from bot.delivery.clock import HandClock, ShiftedClock
from bot.delivery.intake import HOLD_FOR, LEASE, Intake
from bot.delivery.ports import Inbound, Receive
from bot.delivery.ticker import SystemClock
from bot.errors import Refused
from storage.store import SqlStore
from tests.post import MONDAY


class Running:
    """A source that only says whether it runs."""

    def __init__(self) -> None:
        self.started = asyncio.Event()
        self.ended = asyncio.Event()

    async def run(self, receive: Receive) -> None:
        self.started.set()
        try:
            await asyncio.Event().wait()
        finally:
            self.ended.set()


async def nowhere(inbounds: Sequence[Inbound]) -> None:
    raise AssertionError("this source brings nothing")


def intake(store: SqlStore, source: object, clock: object = None) -> Intake:
    return Intake(
        store=store,
        source=source,  # type: ignore[arg-type]
        receive=nowhere,
        clock=clock or SystemClock(),  # type: ignore[arg-type]
        renew_s=0.02,
    )


async def test_a_second_process_waits_until_the_first_stops(store: SqlStore) -> None:
    first, second = Running(), Running()
    one = asyncio.create_task(intake(store, first).run())
    await asyncio.wait_for(first.started.wait(), 10)
    other = asyncio.create_task(intake(store, second).run())
    await asyncio.sleep(0.2)
    assert not second.started.is_set()

    one.cancel()
    await asyncio.wait({one})

    await asyncio.wait_for(second.started.wait(), 10)
    other.cancel()
    await asyncio.wait({other})


async def test_a_process_that_finds_its_lease_gone_stops_its_source(store: SqlStore) -> None:
    source, clock = Running(), ShiftedClock(SystemClock())
    task = asyncio.create_task(intake(store, source, clock).run())
    await asyncio.wait_for(source.started.wait(), 10)

    # It was frozen: by its next look another holds the lease.
    later = clock.now() + 3 * HOLD_FOR
    assert await store.take_lease(LEASE, "other", now=later, hold_for=HOLD_FOR)

    await asyncio.wait_for(source.ended.wait(), 10)
    task.cancel()
    await asyncio.wait({task})


async def test_a_lease_ends_by_itself(store: SqlStore) -> None:
    hold = timedelta(seconds=6)

    assert await store.take_lease("x", "one", now=MONDAY, hold_for=hold)
    assert await store.take_lease("x", "one", now=MONDAY, hold_for=hold)
    assert not await store.take_lease("x", "two", now=MONDAY, hold_for=hold)
    assert await store.take_lease("x", "two", now=MONDAY + hold, hold_for=hold)


async def test_a_lease_of_a_clock_that_ran_ahead_does_not_hold_for_hours(store: SqlStore) -> None:
    hold = timedelta(seconds=6)
    await store.take_lease("x", "one", now=MONDAY + timedelta(hours=1), hold_for=hold)

    assert await store.take_lease("x", "two", now=MONDAY, hold_for=hold)


async def test_a_source_that_is_refused_at_once_ends_the_intake(store: SqlStore) -> None:
    class Unwelcome:
        async def run(self, receive: Receive) -> None:
            raise Refused

    with pytest.raises(Refused):
        await asyncio.wait_for(intake(store, Unwelcome()).run(), 10)


async def test_a_source_that_worked_and_is_refused_is_started_again(
    store: SqlStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.delivery.intake.HOLD_FOR", timedelta(seconds=0.2))
    again = asyncio.Event()

    class Duelling(Running):
        async def run(self, receive: Receive) -> None:
            if self.started.is_set():
                again.set()
                await asyncio.Event().wait()
            self.started.set()
            await asyncio.sleep(0.3)
            raise Refused

    task = asyncio.create_task(intake(store, Duelling(), HandClock(MONDAY)).run())
    await asyncio.wait_for(again.wait(), 10)
    task.cancel()
    await asyncio.wait({task})
