"""One tick, regular, whatever happens to the wall clock; and clocks that can be moved."""

from __future__ import annotations

import asyncio
from datetime import datetime, timedelta

import pytest

from bot.delivery.clock import HandClock, ShiftedClock
from bot.delivery.ticker import SystemClock, Ticker
from tests.post import HOUR, MONDAY


async def test_the_tick_comes_again_and_again() -> None:
    ticks = asyncio.Semaphore(0)

    async def act() -> None:
        ticks.release()

    ticker = Ticker(act, every_s=0.02)
    ticker.start()
    async with asyncio.timeout(5):
        for _ in range(5):
            await ticks.acquire()
    await ticker.stop()


async def test_a_slow_tick_is_never_joined_by_a_second() -> None:
    running, most, done = 0, 0, asyncio.Event()

    async def act() -> None:
        nonlocal running, most
        running += 1
        most = max(most, running)
        await asyncio.sleep(0.1)
        running -= 1
        done.set()

    ticker = Ticker(act, every_s=0.02)
    ticker.start()
    await asyncio.wait_for(done.wait(), 5)
    await ticker.stop()

    assert most == 1


@pytest.mark.parametrize("jump", [-HOUR, timedelta(days=1)])
async def test_a_wall_clock_that_is_set_is_noticed_and_ticks_go_on(jump: timedelta) -> None:
    ahead = timedelta(0)
    slips: list[timedelta] = []
    noticed = asyncio.Event()
    ticks = asyncio.Semaphore(0)

    async def act() -> None:
        ticks.release()

    async def on_slip(slip: timedelta) -> None:
        slips.append(slip)
        noticed.set()

    def wall() -> datetime:
        return SystemClock().now() + ahead

    ticker = Ticker(act, every_s=0.05, on_slip=on_slip, wall=wall)
    ticker.start()
    await asyncio.wait_for(ticks.acquire(), 5)
    ahead = jump
    await asyncio.wait_for(noticed.wait(), 5)
    async with asyncio.timeout(5):
        for _ in range(3):
            await ticks.acquire()
    await ticker.stop()

    assert len(slips) == 1
    assert abs(slips[0] - jump) < timedelta(seconds=2)


async def test_a_shifted_clock_goes_forward_only() -> None:
    base = HandClock(MONDAY)
    clock = ShiftedClock(base)

    clock.move_to(MONDAY + HOUR)
    clock.move_to(MONDAY)
    base.move_to(MONDAY + timedelta(minutes=1))

    assert clock.now() == MONDAY + HOUR + timedelta(minutes=1)


async def test_who_sleeps_on_a_shifted_clock_wakes_at_its_time() -> None:
    base = HandClock(MONDAY)
    clock = ShiftedClock(base)
    clock.move_to(MONDAY + HOUR)

    await clock.sleep_until(MONDAY + 2 * HOUR)

    assert base.now() == MONDAY + HOUR


def test_a_clock_needs_a_zone() -> None:
    with pytest.raises(ValueError, match="zone"):
        HandClock(datetime(2026, 3, 2))  # noqa: DTZ001
