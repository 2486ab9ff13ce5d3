"""A ``Chart`` becomes a picture: PNG bytes, 360 phone pixels wide, the same for the same chart.

May import coach and below. The drawing library is imported only when a picture is painted.
"""

from bot.charts.off_loop import paint_off_loop

__all__ = ["paint_off_loop"]
