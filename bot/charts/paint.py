"""The week's picture: phases, rises against what was expected, what was reported, the warmth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bot.charts.lanes import lane_height, paint_lane
from bot.charts.palette import DARK, LIGHT, Palette
from bot.charts.sheet import WIDTH, Point, Sheet
from bot.voice.chart import Chart, Expected, PhaseSpan, Risen, Warmth

MARGIN = 10.0
LEFT, RIGHT = 60.0, WIDTH - MARGIN
"""Where the hours run; the names of rows stand left of it."""
TITLE, WORDS, SMALL = 18.0, 12.0, 11.0
"""Sizes of letters in phone pixels: nothing is smaller than ``SMALL``."""

BAND_HEIGHT = 20.0
RISE_HEIGHT = 178.0
_FREE = 20.0
"""Above the highest value: room for words."""
_UNDER_BAND = 13.0
DAYS_HEIGHT = 36.0
WARMTH_HEIGHT = 48.0
_GAP = 8.0
_TOP_AT_LEAST = 2.3
_LEAST_WARMTH_SPAN = 5.0
_SURE, _UNSURE = 0.25, 0.6
"""A narrower doubt has no whiskers; a wider one has a hollow dot."""


def paint(chart: Chart, *, dark: bool = False) -> bytes:
    """The picture as a PNG of 1080 dots across. The same chart gives the same bytes."""
    return sheet_of(chart, dark=dark).png(chart.alt)


def sheet_of(chart: Chart, *, dark: bool = False) -> Sheet:
    """The picture before it becomes dots."""
    return _Page(chart, DARK if dark else LIGHT).painted()


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


class _Page:
    """One chart on its way to paper, from the top down."""

    def __init__(self, chart: Chart, palette: Palette) -> None:
        self.chart = chart
        self.palette = palette
        self.hours = Hours(span_h=chart.span_h)
        self.band_top = 78.0
        measure = Sheet(100.0, palette.paper)
        under = any(self._is_too_short(measure, span) for span in chart.phases)
        self.rise_top = self.band_top + BAND_HEIGHT + _GAP + (_UNDER_BAND - 3 if under else 0.0)
        self.days_top = self.rise_top + RISE_HEIGHT
        room = (LEFT, RIGHT)
        self.lane_heights = [
            lane_height(measure, lane, self.hours.x, room, SMALL) for lane in chart.lanes
        ]
        self.warmth_top = self.days_top + DAYS_HEIGHT + sum(self.lane_heights) + _GAP
        self.sheet = Sheet(self.warmth_top + WARMTH_HEIGHT + MARGIN, palette.paper)

    def _is_too_short(self, measure: Sheet, span: PhaseSpan) -> bool:
        room = self.hours.x(span.to_h) - self.hours.x(span.from_h)
        return _phase_label(measure, span, room)[1] > room

    def painted(self) -> Sheet:
        self._columns()
        self._heading()
        self._key()
        self._phases()
        self._rises()
        self._lanes()
        self._warmth()
        return self.sheet

    def _columns(self) -> None:
        bottom = self.warmth_top + WARMTH_HEIGHT
        for index, day in enumerate(self.chart.days):
            left, right = self.hours.x(day.from_h), self.hours.x(day.to_h)
            if index % 2 == 0:
                self.sheet.box(
                    (left, self.rise_top),
                    (right - left, bottom - self.rise_top),
                    self.palette.column,
                )
            middle = (left + right) / 2
            room = right - left - 2
            name = self.sheet.fitted(day.name, room, size=SMALL)
            number = self.sheet.fitted(day.number, room, size=WORDS, bold=True)
            self.sheet.text(
                (middle, self.days_top + 15), number, size=WORDS, bold=True, align="center",
                colour=self.palette.ink, role="day",
            )  # fmt: skip
            self.sheet.text(
                (middle, self.days_top + 28), name, size=SMALL, align="center",
                colour=self.palette.ink if day.is_today else self.palette.muted, role="weekday",
            )  # fmt: skip
        self._row_name(self.chart.wording.day, self.days_top + 15)

    def _heading(self) -> None:
        room = WIDTH - 2 * MARGIN
        title = self.sheet.fitted(self.chart.title, room, size=TITLE, bold=True)
        self.sheet.text(
            (MARGIN, 27), title, size=TITLE, bold=True, colour=self.palette.ink, role="title"
        )
        subtitle = self.sheet.fitted(self.chart.subtitle, room, size=WORDS)
        self.sheet.text((MARGIN, 45), subtitle, size=WORDS, colour=self.palette.muted, role="title")

    def _key(self) -> None:
        """What the shade and the dots mean."""
        words = self.chart.wording
        x, y = MARGIN, 66.0
        if self.chart.risen or not words.nothing_seen:
            self.sheet.line([(x + 5, y + 2), (x + 5, y - 8)], self.palette.seen, width=2.5)
            self.sheet.disc((x + 5, y - 8), 4.0, self.palette.seen)
            x += 15
            self._key_words(words.seen, x, y)
            x += self.sheet.width_of(words.seen, size=SMALL) + 16
        else:
            self._key_words(words.nothing_seen, x, y)
            x += self.sheet.width_of(words.nothing_seen, size=SMALL) + 16
        if self.chart.expected:
            self.sheet.box((x, y - 9), (18, 11), self.palette.expected)
            for edge in (y - 9, y + 2):
                self.sheet.line([(x, edge), (x + 18, edge)], self.palette.expected_line, width=1.0)
            self._key_words(words.expected, x + 24, y)

    def _key_words(self, words: str, x: float, y: float) -> None:
        fitted = self.sheet.fitted(words, WIDTH - MARGIN - x, size=SMALL)
        self.sheet.text((x, y), fitted, size=SMALL, colour=self.palette.ink, role="key")

    def _phases(self) -> None:
        """A band of phases; the name of one that is too short for it stands under it."""
        if self.chart.phases:
            self._row_name(self.chart.wording.phase, self.band_top + 14)
        free_from = LEFT
        for span in self.chart.phases:
            left, right = self.hours.x(span.from_h), self.hours.x(span.to_h)
            ground = self.palette.phases.get(span.phase, self.palette.column)
            self.sheet.box(
                (left + 0.75, self.band_top), (max(0.5, right - left - 1.5), BAND_HEIGHT), ground,
                round_px=4.0,
            )  # fmt: skip
            label, wide = _phase_label(self.sheet, span, right - left)
            start, y = (left + right - wide) / 2, self.band_top + 14
            if wide > right - left:
                start, y = min(max(start, LEFT), RIGHT - wide), self.band_top + BAND_HEIGHT + 11
                if start < free_from:
                    continue
                free_from = start + wide + 5
            self.sheet.text((start, y), label, size=SMALL, colour=self.palette.ink, role="phase")

    def _rises(self) -> None:
        chart, palette, sheet = self.chart, self.palette, self.sheet
        scale = Scale(
            least=1.0, most=_highest(chart), top=self.rise_top + _FREE, bottom=self.days_top - 10
        )
        for stay in chart.stays:
            left, right = self.hours.x(stay.from_h), self.hours.x(stay.to_h)
            sheet.box((left, self.rise_top), (right - left, RISE_HEIGHT), palette.cold)
            label = chart.wording.fridge
            if sheet.width_of(label, size=SMALL) <= right - left - 4:
                sheet.text(
                    ((left + right) / 2, scale.y(1.0) - 5), label, size=SMALL, align="center",
                    colour=palette.ink, role="stay",
                )  # fmt: skip
        for expected in chart.expected:
            sheet.area(
                [
                    *self._edge(expected, scale, "high"),
                    *reversed(self._edge(expected, scale, "low")),
                ],
                palette.expected,
            )
        for level in chart.levels:
            if level.ratio > scale.most:
                continue
            y = scale.y(level.ratio)
            sheet.line([(LEFT, y), (RIGHT, y)], palette.grid, width=1.0)
            self._row_name(level.label, y + 4)
        for expected in chart.expected:
            sheet.line(self._edge(expected, scale, "low"), palette.expected_line, width=1.0)
            sheet.line(self._edge(expected, scale, "high"), palette.expected_line, width=1.0)
            if middle := self._edge(expected, scale, "median"):
                sheet.line(middle, palette.expected_line, width=1.5, dashes=(3.0, 2.0))
        self._now()
        for risen in chart.risen:
            self._risen(risen, scale)

    def _edge(
        self, expected: Expected, scale: Scale, which: Literal["low", "median", "high"]
    ) -> list[Point]:
        """One line along what was expected; empty where it has no median."""
        heights = (
            (point.at_h, {"low": point.low, "median": point.median, "high": point.high}[which])
            for point in expected.points
        )
        return [(self.hours.x(at), scale.y(height)) for at, height in heights if height is not None]

    def _risen(self, risen: Risen, scale: Scale) -> None:
        """A dot at the height, with what is not known of it: the hour as a bar, the height as whiskers."""
        x, seen = self.hours.x(risen.at_h), self.palette.seen
        y, foot = scale.y(risen.ratio), scale.y(1.0)
        if risen.since_h is not None:
            self.sheet.line([(self.hours.x(risen.since_h), y), (x, y)], seen, width=2.5)
        if risen.high - risen.low > _SURE:
            low, high = scale.y(risen.low), scale.y(risen.high)
            self.sheet.line([(x, low), (x, high)], seen, width=1.25)
            for end in (low, high):
                self.sheet.line([(x - 4, end), (x + 4, end)], seen, width=1.5)
        if risen.since_h is None:
            self.sheet.line([(x, foot), (x, y)], seen, width=2.5)
        if risen.high - risen.low > _UNSURE:
            self.sheet.disc((x, y), 4.0, self.palette.paper, edge=seen, width=1.75)
        else:
            self.sheet.disc((x, y), 4.5, seen, edge=self.palette.paper, width=1.0)

    def _now(self) -> None:
        now_h = self.chart.now_h
        if now_h is None or not 0.0 <= now_h < self.chart.span_h:
            return
        x = self.hours.x(now_h)
        self.sheet.line(
            [(x, self.rise_top), (x, self.days_top)], self.palette.muted, width=1.0,
            dashes=(2.0, 3.0),
        )  # fmt: skip
        wide = self.sheet.width_of(self.chart.wording.now, size=SMALL)
        start = x + 3 if x + 3 + wide <= RIGHT else x - 3 - wide
        self.sheet.text(
            (start, self.rise_top + 13), self.chart.wording.now, size=SMALL,
            colour=self.palette.muted, role="now",
        )  # fmt: skip

    def _lanes(self) -> None:
        top = self.days_top + DAYS_HEIGHT
        for lane, height in zip(self.chart.lanes, self.lane_heights, strict=True):
            self.sheet.line([(LEFT, top), (RIGHT, top)], self.palette.grid, width=0.75)
            self._row_name(lane.label, top + 14)
            paint_lane(self.sheet, lane, self.hours.x, (LEFT, RIGHT), top, SMALL, self.palette)
            top += height

    def _warmth(self) -> None:
        words, sheet, palette = self.chart.wording, self.sheet, self.palette
        top, bottom = self.warmth_top, self.warmth_top + WARMTH_HEIGHT
        sheet.line([(LEFT, top - _GAP / 2), (RIGHT, top - _GAP / 2)], palette.grid, width=0.75)
        self._row_name(words.warmth, top + 20)
        if not self.chart.warmth:
            room = RIGHT - LEFT - 8
            sheet.text(
                (LEFT + 4, top + 20), sheet.fitted(words.warmth_unknown, room, size=SMALL),
                size=SMALL, colour=palette.muted, role="warmth",
            )  # fmt: skip
            return
        scale = _warmth_scale(self.chart.warmth, top + 18, bottom - 6)
        line: list[Point] = []
        for part in self.chart.warmth:
            y = scale.y(part.celsius)
            line += [(self.hours.x(part.from_h), y), (self.hours.x(part.to_h), y)]
        sheet.line(line, palette.warmth, width=2.0)
        for part in self.chart.warmth:
            if part.is_told:
                at = (self.hours.x(part.from_h), scale.y(part.celsius))
                sheet.disc(at, 3.0, palette.warmth, edge=palette.paper, width=0.75)
        self._degrees(scale)

    def _degrees(self, scale: Scale) -> None:
        """A label at every change that has room for one; the last has the first right to it."""
        free_until = RIGHT
        parts = self.chart.warmth
        for before, part in reversed(list(zip((None, *parts), parts, strict=False))):
            if before is not None and before.label == part.label:
                continue
            wide = self.sheet.width_of(part.label, size=SMALL)
            start = min(self.hours.x(part.from_h) + 5, RIGHT - wide)
            if start + wide <= free_until:
                at = (start, scale.y(part.celsius) - 6)
                self.sheet.text(at, part.label, size=SMALL, colour=self.palette.ink, role="warmth")
                free_until = start - 4

    def _row_name(self, words: str, y: float) -> None:
        fitted = self.sheet.fitted(words, LEFT - 6 - 2, size=SMALL)
        self.sheet.text(
            (LEFT - 6, y), fitted, size=SMALL, align="right", colour=self.palette.muted, role="row"
        )


def _phase_label(sheet: Sheet, span: PhaseSpan, room: float) -> tuple[str, float]:
    """The label that fits into the band with its width; the short one where neither does."""
    for label in (span.label, span.short):
        wide = sheet.width_of(label, size=SMALL)
        if wide + 4 <= room:
            return label, wide
    return span.short, max(wide, room + 1)


def _highest(chart: Chart) -> float:
    """The height at the upper edge: everything seen and expected, and a doubling in any case."""
    heights = [_TOP_AT_LEAST]
    heights += [point.high + 0.1 for expected in chart.expected for point in expected.points]
    heights += [max(risen.high, risen.ratio) + 0.15 for risen in chart.risen]
    return max(heights)


def _warmth_scale(warmth: tuple[Warmth, ...], top: float, bottom: float) -> Scale:
    """At least five degrees from edge to edge: a tenth of a degree is no mountain."""
    low = min(part.celsius for part in warmth)
    high = max(part.celsius for part in warmth)
    spare = max(0.0, _LEAST_WARMTH_SPAN - (high - low)) / 2
    return Scale(least=low - spare, most=high + spare, top=top, bottom=bottom)
