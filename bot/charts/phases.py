"""The band of phases, each with its name in it, or under it where it is too short for one."""

from __future__ import annotations

from bot.charts.layout import LEFT, RIGHT, SMALL, Hours, Panel
from bot.charts.sheet import Sheet
from bot.voice.chart import Chart, PhaseSpan

BAND_HEIGHT, UNDER_BAND = 20.0, 10.0


def band_height(measure: Sheet, hours: Hours, chart: Chart) -> float:
    """How tall the band is with the names under it."""
    under = any(
        _label(measure, span, hours.x(span.to_h) - hours.x(span.from_h))[1] is False
        for span in chart.phases
    )
    return BAND_HEIGHT + (UNDER_BAND if under else 0.0)


def paint_phases(panel: Panel, chart: Chart) -> None:
    """The band, left to right; a name under it gives way to the one before it."""
    if chart.phases:
        panel.row_name(chart.wording.phase, panel.top + 14)
    free_from = LEFT
    for span in chart.phases:
        left, right = panel.hours.x(span.from_h), panel.hours.x(span.to_h)
        ground = panel.palette.phases.get(span.phase, panel.palette.column)
        size = (max(0.5, right - left - 1.5), BAND_HEIGHT)
        panel.sheet.box((left + 0.75, panel.top), size, ground, round_px=4.0)
        label, fits = _label(panel.sheet, span, right - left)
        wide = panel.sheet.width_of(label, size=SMALL)
        start, y = (left + right - wide) / 2, panel.top + 14
        if not fits:
            start, y = min(max(start, LEFT), RIGHT - wide), panel.top + BAND_HEIGHT + 11
            start = start if start >= free_from else free_from
            if start + wide > RIGHT:
                continue
            free_from = start + wide + 5
        panel.sheet.text((start, y), label, size=SMALL, colour=panel.palette.ink, role="phase")


def _label(sheet: Sheet, span: PhaseSpan, room: float) -> tuple[str, bool]:
    """The label that fits into the band; the short one, and False, where neither does."""
    for label in (span.label, span.short):
        if sheet.width_of(label, size=SMALL) + 4 <= room:
            return label, True
    return span.short, False
