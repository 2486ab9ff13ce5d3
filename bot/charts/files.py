"""Pictures as files: where there is no messaging service to send them through."""

from __future__ import annotations

from pathlib import Path

from bot.charts.off_loop import run_off_loop
from bot.voice.chart import Chart

FOLDER = "pictures"
"""The folder of pictures within the folder of this user's data."""


def write_picture(chart: Chart, folder: Path) -> Path:
    """Paint it into ``folder`` as "<chart.name>.png"; the file's path.

    A picture of the same name is replaced, never half written. Raises OSError.
    """
    from bot.charts.paint import paint

    folder.mkdir(parents=True, exist_ok=True)
    file = folder / f"{chart.name}.png"
    fresh = file.with_suffix(".part")
    fresh.write_bytes(paint(chart, dark=chart.dark))
    fresh.replace(file)
    return file


async def write_off_loop(chart: Chart, folder: Path) -> Path:
    """The same, while the event loop runs on. Raises OSError."""
    return await run_off_loop(lambda: write_picture(chart, folder))
