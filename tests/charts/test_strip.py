"""A strip of photos: every one whole and upright, every word there and inside, nothing else let in."""

from __future__ import annotations

import io
import struct
import zlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.image import FigureImage
from matplotlib.text import Text
from matplotlib.transforms import Bbox
from PIL import Image

from bot.charts.sheet import SCALE, WIDTH, Sheet
from bot.charts.snapshots import LARGEST, snapshot
from bot.charts.strip import columns_for, paint_strip, sheet_of
from tests.charts.photos import jar_photo, strip_of

SMALL = snapshot(jar_photo())
RED = np.array([192, 32, 32])


def painted(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data)).convert("RGB")


def words(sheet: Sheet, role: str) -> list[str]:
    return [text.get_text() for text in sheet.figure.findobj(Text) if text.get_gid() == role]


def place_of(picture: FigureImage) -> Bbox:
    """Where it lies, in dots from the lower left."""
    rows, columns = picture.get_size()
    return Bbox.from_bounds(picture.ox, picture.oy, columns, rows)


@pytest.mark.parametrize("days", range(1, 8))
def test_every_photo_stands_over_its_day_and_nothing_is_clipped_or_overlaps(days: int) -> None:
    strip = strip_of(days)
    sheet = sheet_of(strip, [SMALL] * days)

    pictures = [image for image in sheet.figure.images if image.get_gid() == "picture"]
    assert len(pictures) == days
    assert words(sheet, "day") == [f"day {number}" for number in range(1, days + 1)]
    assert words(sheet, "date")[0] == "Mon 2 Mar"
    texts = [text for text in sheet.figure.findobj(Text) if text.get_gid()]
    boxes = [
        *(place_of(picture) for picture in pictures),
        *(text.get_window_extent(sheet.renderer) for text in texts),
    ]
    for box in boxes:
        assert box.x0 >= 0 and box.x1 <= WIDTH * SCALE
        assert box.y0 >= 0 and box.y1 <= sheet.height * SCALE
    for index, one in enumerate(boxes):
        assert not any(one.overlaps(other) for other in boxes[index + 1 :])


def test_the_picture_is_as_wide_as_a_phone_and_says_what_it_shows() -> None:
    strip = strip_of(3)
    written = Image.open(io.BytesIO(paint_strip(strip, [SMALL] * 3)))
    written.load()

    assert written.size[0] == WIDTH * SCALE
    assert written.text["Description"] == strip.alt
    assert strip.alt == (
        "3 photos of Biscuit, one of each day: day 1 Mon 2 Mar, day 2 Tue 3 Mar, day 3 Wed 4 Mar."
    )


def test_no_word_is_smaller_than_a_phone_can_show() -> None:
    sheet = sheet_of(
        strip_of(7, name="A very long name for a jar of flour and water, indeed"), [SMALL] * 7
    )

    sizes = {text.get_fontsize() / 0.72 for text in sheet.figure.findobj(Text) if text.get_gid()}
    assert min(sizes) >= 11 - 1e-9


def test_the_photos_themselves_are_to_be_seen() -> None:
    dots = np.asarray(painted(paint_strip(strip_of(2), [SMALL, None]))).astype(int)

    near_red = np.abs(dots - RED).sum(axis=2) < 60
    left, right = near_red[:, : dots.shape[1] // 2], near_red[:, dots.shape[1] // 2 :]
    assert left.sum() > 1000
    assert right.sum() == 0


def test_a_photo_that_is_gone_leaves_its_day_and_a_word() -> None:
    sheet = sheet_of(strip_of(2), [SMALL, None])

    assert words(sheet, "missing") == ["gone"]
    assert words(sheet, "day") == ["day 1", "day 2"]


def test_three_stand_side_by_side_at_most_and_four_as_two_and_two() -> None:
    assert [columns_for(count) for count in range(1, 8)] == [1, 2, 3, 2, 3, 3, 3]


@pytest.mark.parametrize("size", [(4000, 300), (300, 4000), (1, 1), (2000, 2000)])
def test_a_photo_of_any_shape_is_shown_whole(size: tuple[int, int]) -> None:
    small = snapshot(jar_photo(size=size))
    assert small is not None

    sheet = sheet_of(strip_of(1), [small])

    (picture,) = sheet.figure.images
    box = place_of(picture)
    assert box.width / box.height == pytest.approx(size[0] / size[1], rel=0.15)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_made_small_whatever_its_kind(kind: str) -> None:
    found = snapshot(jar_photo(size=(3000, 4000), kind=kind))

    assert found is not None
    assert painted(found).size == LARGEST


def test_a_photo_held_sideways_is_turned_upright_and_its_notes_are_left_behind() -> None:
    found = snapshot(jar_photo(size=(1200, 900), turned=6))

    assert found is not None
    image = Image.open(io.BytesIO(found))
    assert image.size == LARGEST
    assert not image.getexif()


def bomb(width: int, height: int) -> bytes:
    """A PNG of a few bytes that claims to be huge."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 64)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"not a picture",
        jar_photo()[:2000],
        jar_photo(kind="GIF"),
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        bomb(8000, 8000),
        bomb(12_000, 12_000),
        bomb(50_000, 50_000),
    ],
    ids=["empty", "text", "cut off", "another kind", "drawing", "large", "larger", "bomb"],
)
def test_what_is_no_photo_or_an_absurd_one_is_none(data: bytes) -> None:
    assert snapshot(data) is None


@given(cut=st.integers(0, 5000), odd=st.binary(min_size=1, max_size=40))
def test_any_damaged_photo_is_shown_or_is_none(cut: int, odd: bytes) -> None:
    whole = jar_photo(size=(90, 120))
    found = snapshot(whole[:cut] + odd + whole[cut + len(odd) :])

    assert found is None or painted(found).size[0] > 0
