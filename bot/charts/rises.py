"""The panel of rises: what was expected of each feed as a shade, what was seen as dots upon it."""

from __future__ import annotations

from typing import Literal

from bot.charts.layout import LEFT, RIGHT, SMALL, Panel, Scale
from bot.charts.sheet import Point
from bot.voice.chart import Chart, Expected, Risen, Stay

_FREE, _FOOT = 20.0, 10.0
"""Above the highest value is room for words, under the lowest for half a dot."""
_TOP_AT_LEAST = 2.3
_SURE, _UNSURE = 0.25, 0.6
"""A narrower doubt has no whiskers; a wider one has a hollow dot."""


def paint_rises(panel: Panel, chart: Chart) -> None:
    """From the ground up: stays in the fridge, shades, levels, edges, the hour that it is, dots."""
    scale = Scale(
        least=1.0, most=_highest(chart), top=panel.top + _FREE, bottom=panel.bottom - _FOOT
    )
    for stay in chart.stays:
        left, right = _sides(panel, stay)
        size = (right - left, panel.bottom - panel.top)
        panel.sheet.box((left, panel.top), size, panel.palette.cold)
    for expected in chart.expected:
        over, under = _edge(panel, scale, expected, "high"), _edge(panel, scale, expected, "low")
        panel.sheet.area([*over, *reversed(under)], panel.palette.expected)
    for level in chart.levels:
        if level.ratio <= scale.most:
            panel.rule(scale.y(level.ratio), width=1.0)
            panel.row_name(level.label, scale.y(level.ratio) + 4)
    for expected in chart.expected:
        _outline(panel, scale, expected)
    for stay in chart.stays:
        _stay_name(panel, stay, chart.wording.fridge, scale.y(1.0) - 5)
    _now(panel, chart)
    for risen in chart.risen:
        _risen(panel, scale, risen)


def _highest(chart: Chart) -> float:
    """The height at the upper edge: everything seen and expected, and a doubling in any case."""
    heights = [_TOP_AT_LEAST]
    heights += [point.high + 0.1 for expected in chart.expected for point in expected.points]
    heights += [max(risen.high, risen.ratio) + 0.15 for risen in chart.risen]
    return max(heights)


def _edge(
    panel: Panel, scale: Scale, expected: Expected, which: Literal["low", "median", "high"]
) -> list[Point]:
    """One line along what was expected; empty where it has no median."""
    heights = (
        (point.at_h, {"low": point.low, "median": point.median, "high": point.high}[which])
        for point in expected.points
    )
    return [(panel.hours.x(at), scale.y(height)) for at, height in heights if height is not None]


def _outline(panel: Panel, scale: Scale, expected: Expected) -> None:
    colour = panel.palette.expected_line
    panel.sheet.line(_edge(panel, scale, expected, "low"), colour, width=1.0)
    panel.sheet.line(_edge(panel, scale, expected, "high"), colour, width=1.0)
    if middle := _edge(panel, scale, expected, "median"):
        panel.sheet.line(middle, colour, width=1.5, dashes=(3.0, 2.0))


def _stay_name(panel: Panel, stay: Stay, name: str, y: float) -> None:
    left, right = _sides(panel, stay)
    if panel.sheet.width_of(name, size=SMALL) <= right - left - 4:
        panel.sheet.text(
            ((left + right) / 2, y), name, size=SMALL, align="center",
            colour=panel.palette.ink, role="stay",
        )  # fmt: skip


def _sides(panel: Panel, stay: Stay) -> tuple[float, float]:
    return panel.hours.x(stay.from_h), panel.hours.x(stay.to_h)


def _now(panel: Panel, chart: Chart) -> None:
    now_h, word = chart.now_h, chart.wording.now
    if now_h is None or not 0.0 <= now_h < chart.span_h:
        return
    x, colour = panel.hours.x(now_h), panel.palette.muted
    panel.sheet.line([(x, panel.top), (x, panel.bottom)], colour, width=1.0, dashes=(2.0, 3.0))
    wide = panel.sheet.width_of(word, size=SMALL)
    start = x + 3 if x + 3 + wide <= RIGHT else max(LEFT, x - 3 - wide)
    panel.sheet.text((start, panel.top + 13), word, size=SMALL, colour=colour, role="now")


def _risen(panel: Panel, scale: Scale, risen: Risen) -> None:
    """A dot at the height, with what is not known of it: the hour as a bar, the height as whiskers."""
    x, seen, sheet = panel.hours.x(risen.at_h), panel.palette.seen, panel.sheet
    y, foot = scale.y(risen.ratio), scale.y(1.0)
    if risen.since_h is not None:
        sheet.line([(panel.hours.x(risen.since_h), y), (x, y)], seen, width=2.5)
    if risen.high - risen.low > _SURE:
        low, high = scale.y(risen.low), scale.y(risen.high)
        sheet.line([(x, low), (x, high)], seen, width=1.25)
        for end in (low, high):
            sheet.line([(x - 4, end), (x + 4, end)], seen, width=1.5)
    if risen.since_h is None:
        sheet.line([(x, foot), (x, y)], seen, width=2.5)
    if risen.high - risen.low > _UNSURE:
        sheet.disc((x, y), 4.0, panel.palette.paper, edge=seen, width=1.75)
    else:
        sheet.disc((x, y), 4.5, seen, edge=panel.palette.paper, width=1.0)
