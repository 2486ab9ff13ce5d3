"""What the next rise will be: when it doubles, when it peaks, how high, as a spread."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from bot.culture.curve import Feeding, gain_share, work, work_share, works_past
from bot.culture.growth import pace
from bot.culture.looking import thermometer_sd
from bot.culture.numbers import section
from bot.culture.spread import Lump, Spread, below, quantiles
from bot.culture.vigour import Cell, Vigour, usual

__all__ = ["Feeding", "Forecast", "Spread", "chance_by", "forecast", "height", "share_by"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """Hours from the feed.

    ``double_h`` is the time to ``mark`` times the height at the feed: 2.0, or less for a flour or a
    wetness that never doubles (rye 1.5); it is given for the case that the jar gets there at all.
    ``top`` is the height ratio at the peak.
    """

    double_h: Spread
    peak_h: Spread
    vigour: Spread
    top: float
    mark: float


def forecast(feeding: Feeding, vigour: Vigour | None = None) -> Forecast:
    """The rise of that feed by a culture of that vigour (None: a typical mature one, nothing reported)."""
    belief = vigour or usual()
    return Forecast(
        double_h=_hours(_lumps(feeding, belief, feeding.mark), feeding),
        peak_h=_hours(_lumps(feeding, belief, None), feeding),
        vigour=belief.spread,
        top=_top(feeding, belief),
        mark=feeding.mark,
    )


def chance_by(
    feeding: Feeding, hours: float, vigour: Vigour | None = None, *, rise: float | None = None
) -> float:
    """The chance (0..1) that the height reaches ``rise`` (None: the flour's mark) within these hours."""
    belief = vigour or usual()
    wanted = feeding.mark if rise is None else rise
    lumps = _lumps(feeding, belief, wanted)
    if not lumps or hours <= 0.0:
        return 0.0
    reaches = sum(lump.weight for lump in lumps)
    return min(1.0, reaches * below(lumps, _sd(feeding), math.log(hours)))


def share_by(
    feeding: Feeding, hours: float, vigour: Vigour | None = None, *, rise: float | None
) -> float:
    """Where ``hours`` lies (0..1) in the forecast of the time to ``rise``, if it gets there; None: the peak."""
    lumps = _lumps(feeding, vigour or usual(), rise)
    return below(lumps, _sd(feeding), math.log(hours)) if lumps else 0.0


def height(feeding: Feeding, hours: float, vigour: Vigour | None = None) -> float:
    """The height ratio to expect that many hours after the feed, at the median vigour; it falls at last."""
    belief = vigour or usual()
    warm = _mean(belief, lambda cell: cell.warm_share)
    quick = math.exp(_mean(belief, lambda cell: math.log(cell.quickness)))
    done = hours * pace(feeding.celsius, warm) * quick * belief.spread.median
    return 1.0 + (_top(feeding, belief) - 1.0) * gain_share(feeding, done)


def _lumps(feeding: Feeding, belief: Vigour, rise: float | None) -> list[Lump]:
    """The log hours until that height (None: the peak), one lump for each cell of the belief that has one."""
    cells = [
        (cell, at)
        for at, row in zip(belief.logs, belief.rows, strict=True)
        for cell in row
        if cell.weight > 1e-7
    ]
    if rise is None:
        log_works = [math.log(work(feeding, 1.0))] * len(cells)
    else:
        usual = (rise - 1.0) / feeding.gain
        cells = [(cell, at) for cell, at in cells if usual <= cell.gain_factor]
        efforts = [work_share(usual / cell.gain_factor) for cell, _ in cells]
        log_works = [math.log(done) for done in works_past(feeding, efforts)]
    celsius = feeding.celsius
    return [
        Lump(cell.weight, log_work - math.log(pace(celsius, cell.warm_share) * cell.quickness) - at)
        for (cell, at), log_work in zip(cells, log_works, strict=True)
    ]


def _hours(lumps: list[Lump], feeding: Feeding) -> Spread:
    low, median, high = quantiles(lumps, _sd(feeding))
    return Spread(low=math.exp(low), median=math.exp(median), high=math.exp(high))


def _sd(feeding: Feeding) -> float:
    """What differs from feed to feed and with a thermometer that is off, in the log of the hours."""
    return math.hypot(section("noise")["feed"], thermometer_sd(feeding.celsius))


def _top(feeding: Feeding, belief: Vigour) -> float:
    return 1.0 + feeding.gain * math.exp(_mean(belief, lambda cell: math.log(cell.gain_factor)))


def _mean(belief: Vigour, of: Callable[[Cell], float]) -> float:
    return sum(cell.weight * of(cell) for row in belief.rows for cell in row)
