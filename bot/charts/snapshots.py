"""A photo from outside made small and harmless: upright, without its notes, or None.

A photo says what it pleases: its size, its turn, a place where it was taken. Its size is looked at
before anything is unpacked, and of the rest only the dots go on.
"""

from __future__ import annotations

import io
import warnings

from PIL import Image, ImageOps

MOST_DOTS = 60_000_000
"""The cameras of phones stop near fifty million; a file of some bytes may claim a billion."""
LARGEST = (720, 960)
"""What a strip can show of one photo, in dots."""
KINDS = ("JPEG", "PNG", "WEBP")


def snapshot(data: bytes) -> bytes | None:
    """The photo as a small JPEG; None for what is no picture, or one of an absurd size."""
    try:
        with warnings.catch_warnings():
            # The library tells of a broken note on standard error: none is missed here.
            warnings.simplefilter("ignore")
            return _shrunk(data)
    except (
        Image.DecompressionBombError,
        ArithmeticError,
        AttributeError,
        LookupError,
        OSError,
        SyntaxError,
        TypeError,
        ValueError,
    ):
        # The library raises whatever a broken file happens to lead to.
        return None


def _shrunk(data: bytes) -> bytes | None:
    with Image.open(io.BytesIO(data), formats=KINDS) as found:
        if found.width * found.height > MOST_DOTS:
            return None
        # Unpacks a large JPEG at a fraction of its size.
        found.draft("RGB", (2 * LARGEST[0], 2 * LARGEST[1]))
        upright = ImageOps.exif_transpose(found).convert("RGB")
    upright.thumbnail(LARGEST)
    written = io.BytesIO()
    upright.save(written, "JPEG", quality=88)
    return written.getvalue()
