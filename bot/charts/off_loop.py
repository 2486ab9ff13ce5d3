"""Painting without keeping anybody waiting: one thread of its own, started with the first picture."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import TypeVar

from bot.voice.chart import Chart

T = TypeVar("T")


async def paint_off_loop(chart: Chart) -> bytes:
    """The picture as a PNG. The event loop runs on meanwhile; pictures are painted one by one."""
    return await run_off_loop(lambda: _painted(chart))


async def run_off_loop(work: Callable[[], T]) -> T:
    """Work of the one thread that paints."""
    return await asyncio.get_running_loop().run_in_executor(_painter(), work)


def _painted(chart: Chart) -> bytes:
    # Half a second of imports, which only those who want a picture pay, and not on the loop.
    from bot.charts.paint import paint

    return paint(chart, dark=chart.dark)


@cache
def _painter() -> ThreadPoolExecutor:
    """One thread: the library's fonts are not safe in two."""
    return ThreadPoolExecutor(max_workers=1, thread_name_prefix="painter")
