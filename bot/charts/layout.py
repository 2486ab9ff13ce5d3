"""Where things stand on a picture of a week: its margins, its letters, its scales."""

from __future__ import annotations

from dataclasses import dataclass

from bot.charts.palette import Palette
from bot.charts.sheet import WIDTH, Sheet

MARGIN = 10.0
LEFT, RIGHT = 60.0, WIDTH - MARGIN
"""Where the hours run; the names of rows stand left of it."""
TITLE, WORDS, SMALL = 18.0, 12.0, 11.0
"""Sizes of letters in phone pixels: nothing is smaller than ``SMALL``."""
GAP = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Where an hour of the chart stands on the sheet."""

    span_h: float

    def x(self, at_h: float) -> float:
        share = min(1.0, max(0.0, at_h / self.span_h))
        return LEFT + share * (RIGHT - LEFT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """Where a value stands between two heights of the sheet, the greatest on top."""

    least: float
    most: float
    top: float
    bottom: float

    def y(self, value: float) -> float:
        share = (value - self.least) / (self.most - self.least)
        return self.bottom - min(1.0, max(0.0, share)) * (self.bottom - self.top)


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A stretch of a sheet from ``top`` to ``bottom``, as wide as the hours, and what it is drawn with."""

    sheet: Sheet
    palette: Palette
    hours: Hours
    top: float
    bottom: float

    def rule(self, y: float, width: float = 0.75) -> None:
        """A faint line across."""
        self.sheet.line([(LEFT, y), (RIGHT, y)], self.palette.grid, width=width)

    def row_name(self, words: str, y: float) -> None:
        """The name of a row, left of the hours."""
        fitted = self.sheet.fitted(words, LEFT - 6 - 2, size=SMALL)
        self.sheet.text(
            (LEFT - 6, y), fitted, size=SMALL, align="right", colour=self.palette.muted, role="row"
        )
