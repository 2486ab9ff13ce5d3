"""Painting without keeping anybody waiting: one thread of its own, started with the first picture."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import TypeVar

from bot.voice.chart import Chart
from bot.voice.strip import Strip

T = TypeVar("T")


async def paint_off_loop(chart: Chart) -> bytes:
    """The picture as a PNG. The event loop runs on meanwhile; pictures are painted one by one."""
    return await run_off_loop(lambda: _painted(chart))


async def snapshot_off_loop(data: bytes) -> bytes | None:
    """A photo from outside made small; None for what is no picture."""
    return await run_off_loop(lambda: _snapshot(data))


async def paint_strip_off_loop(strip: Strip, pictures: Sequence[bytes | None]) -> bytes:
    """The strip as a PNG; ``pictures`` are those of its snapshots, None: gone."""
    return await run_off_loop(lambda: _strip(strip, pictures))


async def run_off_loop(work: Callable[[], T]) -> T:
    """Work of the one thread that paints."""
    return await asyncio.get_running_loop().run_in_executor(_painter(), work)


def _painted(chart: Chart) -> bytes:
    # Half a second of imports, which only those who want a picture pay, and not on the loop.
    from bot.charts.paint import paint

    return paint(chart, dark=chart.dark)


def _snapshot(data: bytes) -> bytes | None:
    from bot.charts.snapshots import snapshot

    return snapshot(data)


def _strip(strip: Strip, pictures: Sequence[bytes | None]) -> bytes:
    from bot.charts.strip import paint_strip

    return paint_strip(strip, pictures)


@cache
def _painter() -> ThreadPoolExecutor:
    """One thread: the library's fonts are not safe in two."""
    return ThreadPoolExecutor(max_workers=1, thread_name_prefix="painter")
