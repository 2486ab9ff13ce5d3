"""A quantity that is known as a probability: where its middle and its central 80 % lie."""

from __future__ import annotations

import bisect
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

LOW, MEDIAN, HIGH = 0.1, 0.5, 0.9
"""The quantiles of a spread: low..high holds 80 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """``low..high`` is the central 80 % interval; the unit is that of the field which holds it.

    Raises ValueError when it is not finite or not in order.
    """

    low: float
    median: float
    high: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high)):
            raise ValueError("a spread is finite")
        if not self.low <= self.median <= self.high:
            raise ValueError(f"not in order: {self.low}, {self.median}, {self.high}")


@dataclass(frozen=True, slots=True)
class Lump:
    """A share of the belief: ``weight`` of a normal distribution round ``centre``."""

    weight: float
    centre: float


def below(lumps: Sequence[Lump], sd: float, point: float) -> float:
    """The share of a mixture of normals of one standard deviation that lies under ``point``."""
    scale = 1.0 / (sd * math.sqrt(2.0))
    erf = math.erf
    total = sum(lump.weight for lump in lumps)
    under = sum(lump.weight * erf((point - lump.centre) * scale) for lump in lumps)
    return 0.5 + 0.5 * under / total


def quantiles(lumps: Sequence[Lump], sd: float) -> tuple[float, float, float]:
    """The 10, 50 and 90 % points of that mixture."""
    lumps = _gathered(lumps, sd)
    edge_low = min(lump.centre for lump in lumps) - 6.0 * sd
    edge_high = max(lump.centre for lump in lumps) + 6.0 * sd

    def share(point: float) -> float:
        return below(lumps, sd, point)

    median = _where(share, MEDIAN, edge_low, edge_high)
    return (
        _where(share, LOW, edge_low, median),
        median,
        _where(share, HIGH, median, edge_high),
    )


def _gathered(lumps: Sequence[Lump], sd: float) -> list[Lump]:
    """Lumps that lie within an eighth of the standard deviation as one: its variance is off by 0.1 %."""
    width = sd / 8.0
    bins: dict[int, tuple[float, float]] = {}
    for lump in lumps:
        place = math.floor(lump.centre / width)
        weight, moment = bins.get(place, (0.0, 0.0))
        bins[place] = (weight + lump.weight, moment + lump.weight * lump.centre)
    return [Lump(weight, moment / weight) for weight, moment in bins.values()]


def grid_quantiles(
    points: Sequence[float], shares: Sequence[float], wanted: Sequence[float]
) -> tuple[float, ...]:
    """Where a smooth density, given at evenly spaced points, has so much of itself below.

    The trapezoid rule with its end correction, and a cubic between the points: good to the fourth order
    of the step.
    """
    under = _summed(points, shares)
    return tuple(_cubic_where(points, under, shares, share * under[-1]) for share in wanted)


def grid_share_below(points: Sequence[float], shares: Sequence[float], at: float) -> float:
    """The share of that density below ``at``; the inverse of ``grid_quantiles``."""
    if at <= points[0]:
        return 0.0
    if at >= points[-1]:
        return 1.0
    under = _summed(points, shares)
    step = points[1] - points[0]
    cell = min(len(points) - 2, int((at - points[0]) / step))
    return _cubic(points, under, shares, cell, (at - points[cell]) / step) / under[-1]


def _summed(points: Sequence[float], shares: Sequence[float]) -> list[float]:
    """The density summed up to each point: trapezoid rule with its end correction."""
    step = points[1] - points[0]
    last = len(points) - 1
    slopes = [
        (shares[min(last, index + 1)] - shares[max(0, index - 1)]) / (2.0 * step)
        for index in range(last + 1)
    ]
    under = [0.0]
    for index in range(last):
        cell = step * (shares[index] + shares[index + 1]) / 2.0
        bend = step * step / 12.0 * (slopes[index + 1] - slopes[index])
        under.append(under[-1] + max(0.0, cell - bend))
    return under


def _cubic(
    points: Sequence[float],
    under: Sequence[float],
    shares: Sequence[float],
    cell: int,
    part: float,
) -> float:
    """The sum at a part (0..1) of a cell: the cubic through its ends with the density as slope."""
    step = points[cell + 1] - points[cell]
    square, cube = part * part, part * part * part
    return (
        under[cell] * (2.0 * cube - 3.0 * square + 1.0)
        + under[cell + 1] * (3.0 * square - 2.0 * cube)
        + step * shares[cell] * (cube - 2.0 * square + part)
        + step * shares[cell + 1] * (cube - square)
    )


def _cubic_where(
    points: Sequence[float], under: Sequence[float], shares: Sequence[float], target: float
) -> float:
    """Where the cubic through two points of the sum, with the density as its slope, meets the target."""
    cell = min(len(points) - 2, max(0, bisect.bisect_right(under, target) - 1))
    step = points[cell + 1] - points[cell]
    low, high = 0.0, 1.0
    for _ in range(40):
        part = (low + high) / 2.0
        short = _cubic(points, under, shares, cell, part) < target
        low, high = (part, high) if short else (low, part)
    return points[cell] + step * (low + high) / 2.0


def _where(share: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """Where a rising function of the range reaches ``wanted``: regula falsi with the Illinois step."""
    at_low, at_high = share(low) - wanted, share(high) - wanted
    if at_low >= 0.0:
        return low
    if at_high <= 0.0:
        return high
    side = 0
    point = low
    for _ in range(60):
        point = (low * at_high - high * at_low) / (at_high - at_low)
        value = share(point) - wanted
        if abs(value) < 1e-7 or high - low < 1e-9:
            break
        if value > 0.0:
            high, at_high = point, value
            at_low = at_low / 2.0 if side == 1 else at_low
            side = 1
        else:
            low, at_low = point, value
            at_high = at_high / 2.0 if side == -1 else at_high
            side = -1
    return point
