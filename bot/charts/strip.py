"""A strip of somebody's own photos, one for each day, with the day under it."""

from __future__ import annotations

import io
from collections.abc import Sequence

import numpy as np
from PIL import Image

from bot.charts.layout import GAP, MARGIN, SMALL, TITLE, WORDS
from bot.charts.palette import LIGHT
from bot.charts.sheet import SCALE, WIDTH, Point, Sheet
from bot.voice.strip import Snapshot, Strip

TOP = 58.0
UPRIGHT = 4 / 3
"""Height to width of a place: as phones take them, held upright."""
WIDEST_PLACE = 220.0
WORDS_HEIGHT = 32.0


def paint_strip(strip: Strip, pictures: Sequence[bytes | None]) -> bytes:
    """The strip as a PNG of 1080 dots across; ``pictures`` are those of its snapshots, None: gone."""
    return sheet_of(strip, pictures).png(strip.alt)


def sheet_of(strip: Strip, pictures: Sequence[bytes | None]) -> Sheet:
    """The strip before it becomes dots."""
    columns = columns_for(len(strip.snapshots))
    room = WIDTH - 2 * MARGIN
    width = min(WIDEST_PLACE, (room - GAP * (columns - 1)) / columns)
    height = width * UPRIGHT
    rows = -(-len(strip.snapshots) // columns)
    sheet = Sheet(TOP + rows * (height + WORDS_HEIGHT + GAP) + MARGIN - GAP, LIGHT.paper)
    _heading(sheet, strip)
    left = (WIDTH - columns * width - (columns - 1) * GAP) / 2
    for index, (one, picture) in enumerate(zip(strip.snapshots, pictures, strict=True)):
        row, column = divmod(index, columns)
        corner = (left + column * (width + GAP), TOP + row * (height + WORDS_HEIGHT + GAP))
        _place(sheet, corner, (width, height), picture, strip.missing)
        _words(sheet, one, corner, (width, height))
    return sheet


def columns_for(count: int) -> int:
    """How many stand side by side: three at most, and four as two and two."""
    return {1: 1, 2: 2, 4: 2}.get(count, 3)


def _heading(sheet: Sheet, strip: Strip) -> None:
    room = WIDTH - 2 * MARGIN
    title = sheet.fitted(strip.title, room, size=TITLE, bold=True)
    sheet.text((MARGIN, 27), title, size=TITLE, bold=True, colour=LIGHT.ink, role="title")
    subtitle = sheet.fitted(strip.subtitle, room, size=WORDS)
    sheet.text((MARGIN, 45), subtitle, size=WORDS, colour=LIGHT.muted, role="title")


def _place(sheet: Sheet, corner: Point, size: Point, picture: bytes | None, missing: str) -> None:
    """The photo, whole, in the middle of its place."""
    sheet.box(corner, size, LIGHT.column)
    (left, top), (width, height) = corner, size
    if picture is None:
        words = sheet.fitted(missing, width, size=SMALL)
        at = (left + width / 2, top + height / 2)
        sheet.text(at, words, size=SMALL, align="center", colour=LIGHT.muted, role="missing")
        return
    with Image.open(io.BytesIO(picture)) as found:
        dots = (round(width * SCALE), round(height * SCALE))
        fitted = found.convert("RGB")
        scale = min(dots[0] / fitted.width, dots[1] / fitted.height)
        shown = (max(1, round(fitted.width * scale)), max(1, round(fitted.height * scale)))
        fitted = fitted.resize(shown)
    inset = ((width - shown[0] / SCALE) / 2, (height - shown[1] / SCALE) / 2)
    sheet.picture((left + inset[0], top + inset[1]), np.asarray(fitted))


def _words(sheet: Sheet, one: Snapshot, corner: Point, size: Point) -> None:
    middle, below = corner[0] + size[0] / 2, corner[1] + size[1]
    day = sheet.fitted(one.day, size[0], size=WORDS, bold=True)
    sheet.text(
        (middle, below + 15),
        day,
        size=WORDS,
        bold=True,
        align="center",
        colour=LIGHT.ink,
        role="day",
    )
    date = sheet.fitted(one.date, size[0], size=SMALL)
    sheet.text(
        (middle, below + 28), date, size=SMALL, align="center", colour=LIGHT.muted, role="date"
    )
