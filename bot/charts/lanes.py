"""One row of marks: what was done and seen, each at its hour, in forms that need no colour."""

from __future__ import annotations

from collections.abc import Callable
from typing import assert_never

from bot.charts.palette import Palette
from bot.charts.sheet import Point, Sheet
from bot.voice.chart import Lane, Mark

LINE_HEIGHT = 16.0
PADDING = 4.0
MOST_LINES = 3
_SYMBOL = 12.0
_SPACE = 5.0
_NUDGE = 9.0
"""How far a mark may stand from its hour rather than go on another line: some five hours either way."""

Room = tuple[float, float]


def lane_height(
    sheet: Sheet, lane: Lane, x: Callable[[float], float], room: Room, size: float
) -> float:
    """How tall the row must be for its marks to stand clear of one another."""
    placed = _placed(sheet, lane, x, room, size)
    lines = 1 + max((line for _, _, line in placed), default=0)
    return lines * LINE_HEIGHT + PADDING


def paint_lane(
    sheet: Sheet,
    lane: Lane,
    x: Callable[[float], float],
    room: Room,
    top: float,
    size: float,
    palette: Palette,
) -> None:
    for mark, left, line in _placed(sheet, lane, x, room, size):
        middle = top + PADDING / 2 + line * LINE_HEIGHT + LINE_HEIGHT / 2
        _paint(sheet, mark, left, middle, size, palette)


def _placed(
    sheet: Sheet, lane: Lane, x: Callable[[float], float], room: Room, size: float
) -> list[tuple[Mark, float, int]]:
    """Each mark, its left edge and its line: the first line on which it touches no other.

    Alarms are placed first, then the latest. Where all lines are full a mark is left out; an alarm
    never is.
    """
    lines: list[list[Room]] = []
    placed: list[tuple[Mark, float, int]] = []
    for mark in sorted(lane.marks, key=lambda mark: (mark.symbol != "alarm", -mark.at_h)):
        wide = _width(sheet, mark, size)
        wanted = min(max(x(mark.at_h) - wide / 2, room[0] + 1), room[1] - wide)
        found = _free(lines, wanted, wide, room)
        if found is None and (len(lines) < MOST_LINES or mark.symbol == "alarm"):
            lines.append([])
            found = (wanted, len(lines) - 1)
        if found is not None:
            left, line = found
            lines[line].append((left, left + wide))
            placed.append((mark, left, line))
    return placed


def _free(
    lines: list[list[Room]], wanted: float, wide: float, room: Room
) -> tuple[float, int] | None:
    """The first line with a free place at ``wanted`` or a nudge away from it."""
    for line, taken in enumerate(lines):
        starts = [wanted]
        starts += [start - wide - _SPACE for start, _ in taken]
        starts += [end + _SPACE for _, end in taken]
        for start in sorted(starts, key=lambda start: abs(start - wanted)):
            if abs(start - wanted) > _NUDGE or not room[0] < start <= room[1] - wide:
                continue
            # A hair's breadth for what the sums above round.
            if all(
                start + wide + _SPACE <= left + 1e-6 or right + _SPACE <= start + 1e-6
                for left, right in taken
            ):
                return start, line
    return None


def _width(sheet: Sheet, mark: Mark, size: float) -> float:
    words = sheet.width_of(mark.word, size=size) if mark.word else 0.0
    if mark.symbol == "word":
        return words
    return _SYMBOL + (2.0 + words if mark.word else 0.0)


def _paint(
    sheet: Sheet, mark: Mark, left: float, middle: float, size: float, palette: Palette
) -> None:
    x = left + _SYMBOL / 2
    words_at = left if mark.symbol == "word" else left + _SYMBOL + 2.0
    colour = palette.ink
    match mark.symbol:
        case "feed":
            # Flour going down into the jar.
            sheet.shape([(x - 5, middle - 4), (x + 5, middle - 4), (x, middle + 5)], palette.ink)
        case "bubbles":
            _bubbles(sheet, x, middle, mark.level, palette)
        case "dot":
            sheet.disc((x, middle), 3.0, palette.ink)
        case "alarm":
            colour = palette.alarm
            for end in (-4.5, 4.5):
                sheet.line([(x - 4.5, middle - end), (x + 4.5, middle + end)], colour, width=3.0)
        case "loaf":
            sheet.shape(_dome(x, middle), palette.ink)
        case "word":
            pass
        case _:
            assert_never(mark.symbol)
    if mark.word:
        sheet.text(
            (words_at, middle + 0.36 * size), mark.word, size=size, colour=colour, role="mark"
        )


_BUBBLES: tuple[tuple[Point, ...], ...] = (
    (),
    ((0.0, 2.0),),
    ((-3.5, 2.5), (3.0, 2.5), (0.0, -3.0)),
    ((-4.0, 3.5), (0.5, 4.5), (4.5, 2.5), (-3.5, -1.0), (1.2, -0.5), (-0.5, -5.0), (4.5, -3.8)),
)


def _bubbles(sheet: Sheet, x: float, middle: float, level: int, palette: Palette) -> None:
    """None a dash, few one bubble, some three, many seven."""
    centres = _BUBBLES[min(max(level, 0), len(_BUBBLES) - 1)]
    if not centres:
        sheet.line([(x - 4, middle), (x + 4, middle)], palette.muted, width=2.0)
    for dx, dy in centres:
        sheet.disc((x + dx, middle + dy), 1.9, palette.paper, edge=palette.ink, width=1.1)


def _dome(x: float, middle: float) -> list[Point]:
    """A loaf from the side."""
    foot = middle + 4
    return [
        (x - 6, foot), (x - 6, middle), (x - 4, middle - 3.5), (x, middle - 5),
        (x + 4, middle - 3.5), (x + 6, middle), (x + 6, foot),
    ]  # fmt: skip
