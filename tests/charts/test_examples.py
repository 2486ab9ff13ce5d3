"""The pictures kept beside the documentation, at the width of a phone, and how long one may take.

``python -m tests.charts.test_examples`` paints them anew.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from bot.charts.paint import paint
from bot.charts.sheet import WIDTH
from bot.charts.snapshots import snapshot
from bot.charts.strip import paint_strip
from tests.benchmarks.charts import LIMIT_MS, chart_of, measured
from tests.charts.photos import jar_photo, strip_of
from tests.charts.weeks import Kitchen, first_week, grown_week, spoiled_week, untold_week

FOLDER = Path(__file__).parents[2] / "deploy" / "docs" / "pictures"

EXAMPLES = {
    "first-week-light": (first_week, 7, "18:00", False),
    "mould-dark": (spoiled_week, 7, "18:30", True),
    "grown-light": (grown_week, 30, "21:30", False),
    "untold-dark": (untold_week, 2, "18:00", True),
}


STRIP = "photos"
NAMES = (*EXAMPLES, STRIP)


def at_phone_width(name: str) -> Image.Image:
    """The picture as a phone with one dot to a pixel shows it: the worst case for letters."""
    picture = Image.open(io.BytesIO(_painted(name)))
    height = round(picture.height * WIDTH / picture.width)
    return picture.resize((round(WIDTH), height), Image.Resampling.LANCZOS)


def _painted(name: str) -> bytes:
    if name == STRIP:
        days = range(1, 7)
        photos = [snapshot(jar_photo(filled=0.2 + 0.08 * day)) for day in days]
        return paint_strip(strip_of(len(days)), photos)
    week, day, clock, dark = EXAMPLES[name]
    kitchen: Kitchen = week()
    return paint(chart_of(kitchen, day, clock), dark=dark)


def keep() -> None:
    for name in NAMES:
        few = at_phone_width(name).quantize(
            256, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE
        )
        few.save(FOLDER / f"{name}.png", optimize=True)


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_are_what_is_painted_today(name: str) -> None:
    kept = Image.open(FOLDER / f"{name}.png").convert("RGB")
    fresh = at_phone_width(name)

    assert kept.size == fresh.size
    difference = np.abs(np.asarray(kept, dtype=float) - np.asarray(fresh, dtype=float))
    assert difference.mean() < 3.0
    assert (FOLDER / f"{name}.png").stat().st_size < 40_000


@pytest.mark.parametrize("week", [first_week, grown_week])
def test_a_warm_picture_takes_less_than_four_tenths_of_a_second(week: type[Kitchen]) -> None:
    times = measured(week(), 30 if week is grown_week else 7, "22:00", rounds=5)

    assert times["cpu_ms"] < LIMIT_MS, times


if __name__ == "__main__":
    keep()
