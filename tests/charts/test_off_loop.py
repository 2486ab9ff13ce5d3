"""Painting keeps nobody waiting, and nobody who wants no picture pays for it."""

from __future__ import annotations

import asyncio
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

from bot.charts import paint_off_loop, write_off_loop
from bot.charts.paint import paint
from bot.voice.week_chart import week_chart
from tests.charts.weeks import first_week


async def test_the_event_loop_runs_on_while_a_picture_is_painted() -> None:
    kitchen = first_week()
    chart = week_chart(kitchen.dossier, kitchen.jar, kitchen.at(7, "18:00"))
    painting = asyncio.create_task(paint_off_loop(chart))

    turns = 0
    while not painting.done():
        await asyncio.sleep(0.001)
        turns += 1

    assert await painting == paint(chart)
    assert turns >= 3


async def test_pictures_asked_for_at_once_are_all_right() -> None:
    kitchen = first_week()
    charts = [week_chart(kitchen.dossier, kitchen.jar, kitchen.at(day, "18:00")) for day in (3, 7)]

    painted = await asyncio.gather(*(paint_off_loop(chart) for chart in charts * 2))

    assert painted == [paint(chart) for chart in charts * 2]


def test_the_drawing_library_is_not_loaded_before_a_picture_is_wanted() -> None:
    code = (
        "import sys, bot.charts, bot.voice.week_chart;"
        "sys.exit(any(name in sys.modules for name in ('matplotlib', 'numpy', 'PIL')))"
    )

    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


async def test_a_picture_is_written_whole_and_replaced_by_the_next_of_its_name(
    tmp_path: Path,
) -> None:
    kitchen = first_week()
    chart = week_chart(kitchen.dossier, kitchen.jar, kitchen.at(3, "18:00"))
    folder = tmp_path / "data" / "pictures"

    first = await write_off_loop(chart, folder)
    again = await write_off_loop(replace(chart, dark=True), folder)

    assert first == again == folder / "week-c1-2026-03-04-1800.png"
    assert again.read_bytes() == paint(chart, dark=True)
    assert [file.name for file in folder.iterdir()] == [first.name]
