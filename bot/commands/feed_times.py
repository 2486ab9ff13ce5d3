"""``jarside feed-times``: the trade's hours to the peak beside the model's, for review."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TextIO

from bot.culture.growth import yeast_per_h
from bot.culture.rise import Feeding, forecast
from bot.culture.spread import Spread
from bot.errors import HandbookError
from bot.handbook.book import table


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of the trade's table: hours to the peak of a 1:``parts``:``parts`` feed."""

    parts: float
    celsius: float
    low_h: float
    mid_h: float
    high_h: float

    @property
    def ratio(self) -> tuple[float, float, float]:
        return (1.0, self.parts, self.parts)

    @property
    def growth_alone_h(self) -> float:
        """ln(dilution)/mu: the time to grow back, with nothing added (F-100)."""
        return math.log(2.0 * self.parts + 1.0) / yeast_per_h(self.celsius)

    @property
    def model(self) -> Spread:
        return forecast(Feeding(ratio=self.ratio, celsius=self.celsius)).peak_h

    def holds(self, hours: float) -> bool:
        return self.low_h <= hours <= self.high_h


def rows() -> tuple[Row, ...]:
    """The trade's table (F-187, common practice). Raises HandbookError for a file that is not as agreed."""
    page = table("feed_times.toml")
    try:
        return tuple(
            Row(parts=parts, celsius=celsius, low_h=low, mid_h=middle, high_h=high)
            for parts, celsius, low, middle, high in page["rows"]
        )
    except (KeyError, TypeError, ValueError) as wrong:
        raise HandbookError(f"feed_times.toml: {wrong}") from wrong


def run(stdout: TextIO) -> int:
    """Print the table, a row a line. Returns 0 when every row holds the model's median, else 1."""
    table = rows()
    held = 0
    stdout.write(
        "Hours to the peak: the trade's table (common practice) and the model of a mature culture.\n\n"
        f"{'ratio':>8} {'°C':>4}   {'low':>5} {'mid':>5} {'high':>5}"
        f"   {'10 %':>6} {'50 %':>6} {'90 %':>6}   {'ln(D)/mu':>8}   held\n"
    )
    for row in table:
        model = row.model
        held += row.holds(model.median)
        name = f"1:{row.parts:g}:{row.parts:g}"
        stdout.write(
            f"{name:>8} {row.celsius:4.0f}   {row.low_h:5.1f} {row.mid_h:5.1f} {row.high_h:5.1f}"
            f"   {model.low:6.1f} {model.median:6.1f} {model.high:6.1f}"
            f"   {row.growth_alone_h:8.1f}   {'yes' if row.holds(model.median) else 'NO'}\n"
        )
    off = [math.log(row.model.median / row.mid_h) for row in table]
    rms = math.sqrt(math.fsum(one * one for one in off) / len(off))
    stdout.write(
        f"\n{held} of {len(table)} rows hold the model's median;"
        f" it is off the middle by {100 * rms:.1f} % (rms).\n"
        "The model adds to ln(D)/mu a lag, a dough slower than a laboratory medium, and a peak that\n"
        "comes when a fixed amount of work is done (bot/culture/curve.py).\n"
    )
    return 0 if held == len(table) else 1
