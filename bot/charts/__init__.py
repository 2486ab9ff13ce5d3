"""A ``Chart`` or a ``Strip`` becomes a picture: PNG bytes, 360 phone pixels wide, the same for the same chart.

May import coach and below. The drawing library is imported only when a picture is painted.
"""

from bot.charts.files import FOLDER, write_off_loop, write_picture
from bot.charts.off_loop import paint_off_loop, paint_strip_off_loop, snapshot_off_loop

__all__ = [
    "FOLDER",
    "paint_off_loop",
    "paint_strip_off_loop",
    "snapshot_off_loop",
    "write_off_loop",
    "write_picture",
]
