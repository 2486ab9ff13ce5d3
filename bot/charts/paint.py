"""The week's picture: phases, rises against what was expected, what was reported, the warmth."""

from __future__ import annotations

from bot.charts.lanes import lane_height, paint_lane
from bot.charts.layout import GAP, LEFT, MARGIN, RIGHT, SMALL, TITLE, WORDS, Hours, Panel
from bot.charts.palette import DARK, LIGHT, Palette
from bot.charts.phases import band_height, paint_phases
from bot.charts.rises import paint_rises
from bot.charts.sheet import WIDTH, Sheet
from bot.charts.warmth import paint_warmth
from bot.voice.chart import Chart

BAND_TOP = 78.0
RISE_HEIGHT, DAYS_HEIGHT, WARMTH_HEIGHT = 178.0, 36.0, 48.0


def paint(chart: Chart, *, dark: bool = False) -> bytes:
    """The picture as a PNG of 1080 dots across. The same chart gives the same bytes."""
    return sheet_of(chart, dark=dark).png(chart.alt)


def sheet_of(chart: Chart, *, dark: bool = False) -> Sheet:
    """The picture before it becomes dots."""
    return _Page(chart, DARK if dark else LIGHT).painted()


class _Page:
    """One chart on its way to paper, from the top down."""

    def __init__(self, chart: Chart, palette: Palette) -> None:
        self.chart = chart
        self.palette = palette
        self.hours = Hours(span_h=chart.span_h)
        measure = Sheet(100.0, palette.paper)
        self.lane_heights = [
            lane_height(measure, lane, self.hours.x, (LEFT, RIGHT), SMALL) for lane in chart.lanes
        ]
        self.rise_top = BAND_TOP + band_height(measure, self.hours, chart) + GAP
        self.days_top = self.rise_top + RISE_HEIGHT
        self.lanes_top = self.days_top + DAYS_HEIGHT
        self.warmth_top = self.lanes_top + sum(self.lane_heights) + GAP
        self.bottom = self.warmth_top + WARMTH_HEIGHT
        self.sheet = Sheet(self.bottom + MARGIN, palette.paper)

    def painted(self) -> Sheet:
        self._columns()
        self._heading()
        self._key()
        paint_phases(self._panel(BAND_TOP, self.rise_top), self.chart)
        paint_rises(self._panel(self.rise_top, self.days_top), self.chart)
        self._days()
        self._lanes()
        warmth = self._panel(self.warmth_top, self.bottom)
        warmth.rule(self.warmth_top - GAP / 2)
        paint_warmth(warmth, self.chart)
        return self.sheet

    def _panel(self, top: float, bottom: float) -> Panel:
        return Panel(
            sheet=self.sheet, palette=self.palette, hours=self.hours, top=top, bottom=bottom
        )

    def _columns(self) -> None:
        """Every other day on a ground of its own."""
        for day in self.chart.days[::2]:
            left, right = self.hours.x(day.from_h), self.hours.x(day.to_h)
            size = (right - left, self.bottom - self.rise_top)
            self.sheet.box((left, self.rise_top), size, self.palette.column)

    def _heading(self) -> None:
        room = WIDTH - 2 * MARGIN
        title = self.sheet.fitted(self.chart.title, room, size=TITLE, bold=True)
        self.sheet.text(
            (MARGIN, 27), title, size=TITLE, bold=True, colour=self.palette.ink, role="title"
        )
        subtitle = self.sheet.fitted(self.chart.subtitle, room, size=WORDS)
        self.sheet.text((MARGIN, 45), subtitle, size=WORDS, colour=self.palette.muted, role="title")

    def _key(self) -> None:
        """What the dots and the shade mean."""
        words, y = self.chart.wording, 66.0
        x = MARGIN
        if self.chart.risen:
            self.sheet.line([(x + 5, y + 2), (x + 5, y - 8)], self.palette.seen, width=2.5)
            self.sheet.disc((x + 5, y - 8), 4.0, self.palette.seen)
            x = self._key_words(words.seen, x + 15, y)
        else:
            x = self._key_words(words.nothing_seen, x, y)
        if self.chart.expected:
            self.sheet.box((x, y - 9), (18, 11), self.palette.expected)
            for edge in (y - 9, y + 2):
                self.sheet.line([(x, edge), (x + 18, edge)], self.palette.expected_line, width=1.0)
            self._key_words(words.expected, x + 24, y)

    def _key_words(self, words: str, x: float, y: float) -> float:
        """Where the next entry of the key may begin."""
        fitted = self.sheet.fitted(words, WIDTH - MARGIN - x, size=SMALL)
        self.sheet.text((x, y), fitted, size=SMALL, colour=self.palette.ink, role="key")
        return x + self.sheet.width_of(fitted, size=SMALL) + 16

    def _days(self) -> None:
        """The number and the weekday under each column."""
        self._panel(self.days_top, self.lanes_top).row_name(
            self.chart.wording.day, self.days_top + 15
        )
        for day in self.chart.days:
            left, right = self.hours.x(day.from_h), self.hours.x(day.to_h)
            middle, room = (left + right) / 2, right - left - 2
            number = self.sheet.fitted(day.number, room, size=WORDS, bold=True)
            name = self.sheet.fitted(day.name, room, size=SMALL)
            self.sheet.text(
                (middle, self.days_top + 15), number, size=WORDS, bold=True, align="center",
                colour=self.palette.ink, role="day",
            )  # fmt: skip
            self.sheet.text(
                (middle, self.days_top + 28), name, size=SMALL, align="center",
                colour=self.palette.ink if day.is_today else self.palette.muted, role="weekday",
            )  # fmt: skip

    def _lanes(self) -> None:
        top = self.lanes_top
        for lane, height in zip(self.chart.lanes, self.lane_heights, strict=True):
            panel = self._panel(top, top + height)
            panel.rule(top)
            panel.row_name(lane.label, top + 14)
            paint_lane(self.sheet, lane, self.hours.x, (LEFT, RIGHT), top, SMALL, self.palette)
            top += height
