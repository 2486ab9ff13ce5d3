"""Photos to paint: drawn here, so that they are nobody's."""

from __future__ import annotations

import io
from datetime import UTC, datetime, timedelta
from typing import Literal

from PIL import Image, ImageDraw

from bot.culture.state import Culture, Dossier, Person, Photo
from bot.voice.photo_strip import photo_strip
from bot.voice.strip import Strip

ORIENTATION = 0x0112
MIXED = datetime(2026, 3, 2, 8, tzinfo=UTC)


def jar_photo(
    *,
    size: tuple[int, int] = (900, 1200),
    filled: float = 0.55,
    kind: Literal["JPEG", "PNG", "WEBP", "GIF"] = "JPEG",
    turned: int = 1,
) -> bytes:
    """A jar with a band round it before a plain wall, filled to a part of its height; ``turned`` is the camera's note of how it was
    held (1: upright, 6: to be turned to the right by a quarter)."""
    image = Image.new("RGB", size, "#5a6b7a")
    draw = ImageDraw.Draw(image)
    width, height = size
    left, right, bottom = width * 0.25, width * 0.75, height * 0.9
    tall = height * 0.7
    draw.rectangle((left, bottom - tall, right, bottom), fill="#a9bac4")
    draw.rectangle((left, bottom - tall * filled, right, bottom), fill="#e3d3ae")
    draw.rectangle((left, bottom - tall * 0.3, right, bottom - tall * 0.26), fill="#c02020")
    written = io.BytesIO()
    notes = Image.Exif()
    notes[ORIENTATION] = turned
    if kind == "GIF":
        image.save(written, kind)
    else:
        image.save(written, kind, exif=notes)
    return written.getvalue()


def strip_of(days: int, name: str = "Biscuit") -> Strip:
    """The strip of somebody who sent a photo on each of so many days."""
    photos = tuple(
        Photo(at=MIXED + timedelta(days=day, hours=3), file=f"f{day}", number=day + 1)
        for day in range(days)
    )
    jar = Culture(
        key="c1", name=name, flour="white", method="full", began_at=MIXED, started_at=MIXED,
        photos=photos,
    )  # fmt: skip
    person = Person(zone="Europe/Oslo", units="metric")
    return photo_strip(Dossier(person_key="p", person=person, cultures=(jar,)), jar)
