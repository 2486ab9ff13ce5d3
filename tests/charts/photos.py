"""Photos to paint: drawn here, so that they are nobody's."""

from __future__ import annotations

import io
from typing import Literal

from PIL import Image, ImageDraw

ORIENTATION = 0x0112
GPS = 0x8825


def jar_photo(
    *,
    size: tuple[int, int] = (900, 1200),
    glass: str = "#d8c7a0",
    kind: Literal["JPEG", "PNG", "WEBP", "GIF"] = "JPEG",
    turned: int = 1,
) -> bytes:
    """A jar with a band round it before a plain wall; ``turned`` is the camera's note of how it was
    held (1: upright, 6: to be turned to the right by a quarter)."""
    image = Image.new("RGB", size, "#5a6b7a")
    draw = ImageDraw.Draw(image)
    width, height = size
    draw.rectangle((width * 0.25, height * 0.2, width * 0.75, height * 0.9), fill=glass)
    draw.rectangle((width * 0.25, height * 0.5, width * 0.75, height * 0.53), fill="#c02020")
    written = io.BytesIO()
    notes = Image.Exif()
    notes[ORIENTATION] = turned
    if kind == "GIF":
        image.save(written, kind)
    else:
        image.save(written, kind, exif=notes)
    return written.getvalue()
