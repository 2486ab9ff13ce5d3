"""The panel of the kitchen's warmth: a line with a dot where it was told and degrees where it changed."""

from __future__ import annotations

from itertools import groupby

from bot.charts.layout import LEFT, RIGHT, SMALL, Panel, Scale
from bot.charts.sheet import Point
from bot.voice.chart import Chart, Warmth

_LEAST_SPAN_C = 5.0
"""From edge to edge at least: a tenth of a degree is no mountain."""
_WORDS_FROM_TOP = 20.0


def paint_warmth(panel: Panel, chart: Chart) -> None:
    """The line; where nothing was told, a word on how to tell it."""
    words, sheet = chart.wording, panel.sheet
    panel.row_name(words.warmth, panel.top + _WORDS_FROM_TOP)
    if not chart.warmth:
        hint = sheet.fitted(words.warmth_unknown, RIGHT - LEFT - 8, size=SMALL)
        at = (LEFT + 4, panel.top + _WORDS_FROM_TOP)
        sheet.text(at, hint, size=SMALL, colour=panel.palette.muted, role="warmth")
        return
    scale = _scale(chart.warmth, panel.top + 18, panel.bottom - 6)
    for line in _lines(panel, scale, chart.warmth):
        sheet.line(line, panel.palette.warmth, width=2.0)
    for part in chart.warmth:
        if part.is_told:
            at = (panel.hours.x(part.from_h), scale.y(part.celsius))
            sheet.disc(at, 3.0, panel.palette.warmth, edge=panel.palette.paper, width=0.75)
    _degrees(panel, scale, chart.warmth)


def _scale(warmth: tuple[Warmth, ...], top: float, bottom: float) -> Scale:
    low = min(part.celsius for part in warmth)
    high = max(part.celsius for part in warmth)
    spare = max(0.0, _LEAST_SPAN_C - (high - low)) / 2
    return Scale(least=low - spare, most=high + spare, top=top, bottom=bottom)


def _lines(panel: Panel, scale: Scale, warmth: tuple[Warmth, ...]) -> list[list[Point]]:
    """One line for each stretch without a gap."""
    gaps = 0
    stretches: list[tuple[int, Warmth]] = []
    for before, part in zip((None, *warmth), warmth, strict=False):
        gaps += before is not None and part.from_h > before.to_h
        stretches.append((gaps, part))
    return [
        [
            (panel.hours.x(hour), scale.y(part.celsius))
            for _, part in stretch
            for hour in (part.from_h, part.to_h)
        ]
        for _, stretch in groupby(stretches, key=lambda one: one[0])
    ]


def _degrees(panel: Panel, scale: Scale, warmth: tuple[Warmth, ...]) -> None:
    """A label at every change that has room for one; the last has the first right to it."""
    free_until = RIGHT
    for before, part in reversed(list(zip((None, *warmth), warmth, strict=False))):
        if before is not None and before.label == part.label:
            continue
        wide = panel.sheet.width_of(part.label, size=SMALL)
        start = min(panel.hours.x(part.from_h) + 5, RIGHT - wide)
        if start + wide <= free_until:
            at = (start, scale.y(part.celsius) - 6)
            panel.sheet.text(at, part.label, size=SMALL, colour=panel.palette.ink, role="warmth")
            free_until = start - 4
