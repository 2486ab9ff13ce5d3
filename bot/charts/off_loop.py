"""Painting without keeping anybody waiting: one thread of its own, started with the first picture."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor
from functools import cache

from bot.voice.chart import Chart


async def paint_off_loop(chart: Chart) -> bytes:
    """The picture as a PNG. The event loop runs on meanwhile; pictures are painted one by one."""
    return await asyncio.get_running_loop().run_in_executor(_painter(), _painted, chart)


def _painted(chart: Chart) -> bytes:
    # Half a second of imports, which only those who want a picture pay, and not on the loop.
    from bot.charts.paint import paint

    return paint(chart, dark=chart.dark)


@cache
def _painter() -> ThreadPoolExecutor:
    """One thread: the library's fonts are not safe in two."""
    return ThreadPoolExecutor(max_workers=1, thread_name_prefix="painter")
