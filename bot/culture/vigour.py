"""How strong one person's culture is, learnt from what they saw: a posterior, summed on a grid.

Three things are not known of a jar: its vigour (how soon it doubles: 1.0 is a typical mature culture, 0.5
takes twice the hours), the height its flour really gains, and how much of its yeast likes warmth. Only the vigour is
reported: the other two are carried along so that they do not pass for vigour.

The sum is adaptive quadrature. A few Newton steps find where the belief is and how it leans; then an
even grid over the vigour, and at each of its points a small grid over the other two, placed along that
lean. The same reports always give the same answer, in milliseconds.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bot.culture.looking import (
    FARTHEST,
    LEAST_RISE,
    LONGEST_H,
    MOST_RISE,
    Look,
    Observation,
    When,
    gain_factor,
    log_chance,
    log_quickness,
    look,
    warm_share,
)
from bot.culture.numbers import section
from bot.culture.spread import HIGH, LOW, MEDIAN, Spread, grid_quantiles, grid_share_below
from bot.errors import InputError

__all__ = [
    "LEAST_RISE", "LONGEST_H", "MOST_REPORTS", "MOST_RISE", "Cell", "Observation", "Vigour", "When",
    "learn", "usual",
]  # fmt: skip

MOST_REPORTS = 5000
_POINTS = 17
_MOST_POINTS = 97
_REACH = 4.2
"""Standard deviations either side that the grid covers."""
_STEP_SD = 0.55
_WARM_NODES = ((-math.sqrt(3.0), 1 / 6), (0.0, 2 / 3), (math.sqrt(3.0), 1 / 6))
"""Gauss-Hermite: exact for a polynomial of degree five under a standard normal."""
_GAIN_STEP = 1.4
_GAIN_NODES = tuple(_GAIN_STEP * index for index in range(-3, 4))
"""An even grid: a peak that may be too low for what was seen bends the belief out of the normal's shape.
The trapezoid rule at this step is good to a thousandth under a standard normal."""
_NEWTON_STEPS = 12
_FAR_Z = 3.0


@dataclass(frozen=True, slots=True)
class Cell:
    """A share of the belief: that the jar is of this gain (over its flour's usual) and this yeast."""

    weight: float
    gain_factor: float
    warm_share: float
    quickness: float
    """How many times quicker its yeast works than the vigour says (``looking.quickness``)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Vigour:
    """The belief about one culture: for each log vigour of an even grid, its cells. Weights add up to 1."""

    logs: tuple[float, ...]
    rows: tuple[tuple[Cell, ...], ...]
    reports: int = 0

    @property
    def spread(self) -> Spread:
        """The vigour's central 80 % and median; 1.0 is a typical mature culture."""
        low, median, high = grid_quantiles(self.logs, self._shares, (LOW, MEDIAN, HIGH))
        return Spread(low=math.exp(low), median=math.exp(median), high=math.exp(high))

    def share_below(self, vigour: float) -> float:
        """The share of the belief (0..1) that lies under that vigour."""
        return grid_share_below(self.logs, self._shares, math.log(vigour))

    @property
    def _shares(self) -> tuple[float, ...]:
        return tuple(sum(cell.weight for cell in row) for row in self.rows)


def learn(observations: Sequence[Observation], *, age_days: float | None = None) -> Vigour:
    """What the culture's vigour is after these reports, in any order.

    ``age_days`` counts from the first mix; None is a mature culture. The vigour is taken to be the same
    in all of them: hand over the last feeds only when the culture is still changing. Raises InputError
    for more than 5,000 reports or a negative age.
    """
    if len(observations) > MOST_REPORTS:
        raise InputError(f"{len(observations)} observations: at most {MOST_REPORTS} are taken")
    middle, sd = _prior(age_days)
    looks = [ready for ready in map(look, observations) if ready is not None]
    lean = _lean(looks, middle, sd)
    return _summed(looks, middle, sd, lean, reports=len(observations))


def usual(age_days: float | None = None) -> Vigour:
    """The belief before any report; ``age_days`` as in ``learn``."""
    return learn((), age_days=age_days)


def _prior(age_days: float | None) -> tuple[float, float]:
    """Middle and standard deviation of the log vigour at that age.

    A culture younger than 10 to 14 days takes 1.3 to 2 times the hours (F-188, common practice).
    """
    number = section("noise")
    sd = number["vigour"]
    if age_days is None:
        return 0.0, sd
    if not (math.isfinite(age_days) and age_days >= 0.0):
        raise InputError(f"age_days is {age_days:g}: it must be 0 or more")
    young = min(1.0, max(0.0, (21.0 - age_days) / 11.0))
    return -math.log(number["young"]) * young, math.hypot(sd, number["young_sd"] * young)


@dataclass(frozen=True, slots=True)
class _Lean:
    """Where the belief is and how it leans: a normal in log vigour, and the others' mean given that."""

    low: float
    high: float
    sd: float
    middle: float
    warm: tuple[float, float]
    """Mean at the middle, and slope by the log vigour."""
    gain: tuple[float, float]
    warm_sd: float
    gain_by_warm: float
    gain_sd: float


def _lean(looks: Sequence[Look], middle: float, sd: float) -> _Lean:
    start, low, high = _rough(looks, middle, sd)
    at = (start, 0.0, 0.0)
    bend = (1.0 / sd**2, 0.0, 0.0, 1.0, 0.0, 1.0)
    for _ in range(_NEWTON_STEPS if looks else 0):
        slope, bend = _pulls(looks, at, middle, sd)
        step = _solved(bend, slope)
        scale = min(1.0, 1.5 / (1e-12 + max(abs(part) for part in step)))
        at = (
            at[0] + scale * step[0],
            min(_FAR_Z, max(-_FAR_Z, at[1] + scale * step[1])),
            min(_FAR_Z, max(-_FAR_Z, at[2] + scale * step[2])),
        )
        if max(abs(part) for part in step) < 1e-6:
            break
    vv, vw, vg, ww, wg, gg = bend
    # The conditional of (warm, gain) given the vigour has the lower right block of the bends.
    block = ww * gg - wg * wg
    warm_slope = -(vw * gg - vg * wg) / block
    gain_slope = -(vg * ww - vw * wg) / block
    spread = 1.0 / math.sqrt(vv + vw * warm_slope + vg * gain_slope)
    return _Lean(
        low=min(low, at[0] - _REACH * spread),
        high=max(high, at[0] + _REACH * spread),
        sd=spread,
        middle=at[0],
        warm=(at[1], warm_slope),
        gain=(at[2], gain_slope),
        warm_sd=math.sqrt(gg / block),
        gain_by_warm=-wg / gg,
        gain_sd=1.0 / math.sqrt(gg),
    )


def _rough(looks: Sequence[Look], middle: float, sd: float) -> tuple[float, float, float]:
    """Best log vigour of an ordinary jar, and the stretch where it is not out of the question."""
    points = [middle + sd * (0.25 * index - 9.0) for index in range(57)]
    logs = [-0.5 * ((at - middle) / sd) ** 2 + log_chance(looks, at, 0.0, 0.0) for at in points]
    top = max(logs)
    kept = [at for at, log in zip(points, logs, strict=True) if log > top - 9.0]
    return points[logs.index(top)], kept[0], kept[-1]


_Bends = tuple[float, float, float, float, float, float]
"""The upper half of a symmetric three by three: vigour, warm, gain."""


def _pulls(
    looks: Sequence[Look], at: tuple[float, float, float], middle: float, sd: float
) -> tuple[tuple[float, float, float], _Bends]:
    """Slope of the log belief, and its downward bends, at that point."""
    v, w, g = at
    slope_v, slope_w, slope_g = -(v - middle) / sd**2, -w, -g
    vv, vw, vg, ww, wg, gg = 1.0 / sd**2, 0.0, 0.0, 1.0, 0.0, 1.0
    for one in looks:
        by_warm, by_gain = one.slopes(w, g)
        slope, bend = one.pull(*one.stand(v, w, g))
        slope_v += slope
        slope_w -= slope * by_warm
        fit_slope, fit_bend = one.fit_pull(g)
        slope_g += fit_slope - slope * by_gain
        vv += bend
        vw -= bend * by_warm
        vg -= bend * by_gain
        ww += bend * by_warm * by_warm
        wg += bend * by_warm * by_gain
        gg += fit_bend + bend * by_gain * by_gain
    return (slope_v, slope_w, slope_g), (vv, vw, vg, ww, wg, gg)


def _solved(bend: _Bends, right: tuple[float, float, float]) -> tuple[float, float, float]:
    """The solution of a positive definite three by three, by Cholesky's way."""
    vv, vw, vg, ww, wg, gg = bend
    a = math.sqrt(vv)
    b, c = vw / a, vg / a
    d = math.sqrt(ww - b * b)
    e = (wg - b * c) / d
    f = math.sqrt(gg - c * c - e * e)
    x = right[0] / a
    y = (right[1] - b * x) / d
    z = (right[2] - c * x - e * y) / f
    z /= f
    y = (y - e * z) / d
    return ((x - b * y - c * z) / a, y, z)


def _summed(
    looks: Sequence[Look], middle: float, sd: float, lean: _Lean, *, reports: int
) -> Vigour:
    wanted = math.ceil((lean.high - lean.low) / (_STEP_SD * lean.sd)) + 1
    points = min(_MOST_POINTS, max(_POINTS, wanted))
    step = (lean.high - lean.low) / (points - 1)
    logs = tuple(lean.low + step * index for index in range(points))
    rows = [_nodes(looks, middle, sd, lean, at) for at in logs]
    top = max(node[0] for row in rows for node in row)
    total = sum(math.exp(node[0] - top) for row in rows for node in row)

    def cell(log: float, warm: float, gain: float) -> Cell:
        return Cell(
            math.exp(log - top) / total,
            gain_factor(gain),
            warm_share(warm),
            math.exp(log_quickness(gain)),
        )

    return Vigour(
        logs=logs, rows=tuple(tuple(cell(*node) for node in row) for row in rows), reports=reports
    )


def _nodes(
    looks: Sequence[Look], middle: float, sd: float, lean: _Lean, at: float
) -> list[tuple[float, float, float]]:
    """Log weight, warm and gain unknown of the nodes at that log vigour."""
    away = at - lean.middle
    warm_mean = _held(lean.warm[0] + lean.warm[1] * away)
    gain_mean = min(_FAR_Z, max(-_FAR_Z, lean.gain[0] + lean.gain[1] * away))
    prior = -0.5 * ((at - middle) / sd) ** 2
    nodes = []
    for warm_node, warm_weight in _WARM_NODES:
        off = lean.warm_sd * warm_node
        warm = _held(warm_mean + off)
        # The node's own bell is divided out again.
        of_warm = prior + math.log(warm_weight) + 0.5 * (warm_node * warm_node - warm * warm)
        for gain_node in _GAIN_NODES:
            gain = gain_mean + lean.gain_by_warm * off + lean.gain_sd * gain_node
            if abs(gain) > FARTHEST:
                continue
            log = of_warm - 0.5 * gain * gain + log_chance(looks, at, warm, gain)
            nodes.append((log, warm, gain))
    return nodes


def _held(unknown: float) -> float:
    return min(FARTHEST, max(-FARTHEST, unknown))
