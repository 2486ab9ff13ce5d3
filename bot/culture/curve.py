"""The rise of one feed, from the seed to the fall: one curve for every jar, in the yeast's own time.

The seed is ``1/dilution`` of what the fed flour can feed and grows as a logistic after a lag. The gas it
makes first dissolves, then lifts; the more work was done on the dough, the more it leaks. Counted in
work done instead of hours this is one universal curve,

    d gain / d u  =  c (1 - u gain),    gain(dissolved) = 0,    gain(1) = 1 at its peak,

whose solution is a relative of Dawson's function. Work turns into time by the logistic:

    hours = (lag + ln(1 + dilution (e^y - 1))) / (dough factor x vigour x pace(celsius)).

ln(dilution)/mu alone is too fast by 1.2 to 1.7 times on every row of the trade's table. What is added:
a lag (Baranyi's "work to be done", a fixed share of the yeast's own time), a dough slower than a
laboratory medium, and a peak that comes when a fixed amount of work is done, not when the yeast is back
at full number. The lag is set so that a warm feed shows its first rise after 1 to 3 hours (F-194); the
other two are fitted to the twenty rows of the table (F-187, common practice).
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from bot.culture.numbers import section
from bot.culture.vocabulary import Flour, Ratio
from bot.errors import InputError

COLDEST_C, HOTTEST_C = 4.0, 34.0
"""Colder it sleeps, hotter most sourdough yeast stops: no time to rise is given there."""

DRIEST, WETTEST = 0.4, 3.0
MOST_TO_ONE = 1000.0
"""A feed of more than this many parts to one of starter is no feed but a fresh start."""

_STEPS = 160
_LONGEST = 8.0
"""How far past the peak the curve is drawn, in units of the work at the peak."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeding:
    """A feed: starter, flour and water by weight, at a temperature in °C.

    ``hydration_in`` is the starter's own water over flour. Raises InputError for a ratio without seed
    or flour, a temperature outside 4..34 °C, or a hydration outside 0.4..3.0.
    """

    ratio: Ratio
    celsius: float
    flours: tuple[Flour, ...] = ("white",)
    hydration_in: float = 1.0

    def __post_init__(self) -> None:
        check_ratio(self.ratio)
        if not (math.isfinite(self.celsius) and COLDEST_C <= self.celsius <= HOTTEST_C):
            raise InputError(
                f"celsius {self.celsius:g} is outside {COLDEST_C:g}..{HOTTEST_C:g} °C, where a rise can be"
                " timed: colder it sleeps, hotter the yeast stops"
            )
        check_hydration(self.hydration_in, "hydration_in")
        check_hydration(self.hydration, "the hydration of this feed")

    @property
    def hydration(self) -> float:
        """Water over flour of the fed jar."""
        starter, flour, water = self.ratio
        seed_flour = starter / (1.0 + self.hydration_in)
        return (starter - seed_flour + water) / (seed_flour + flour)

    @property
    def dilution(self) -> float:
        """Flour in the fed jar over the flour that came with the seed; 2n + 1 for 1:n:n (F-100)."""
        starter, flour, _ = self.ratio
        return 1.0 + flour * (1.0 + self.hydration_in) / starter

    @property
    def work_factor(self) -> float:
        """How much longer this dough takes than one of white flour at 100 % hydration (F-189)."""
        number = section("rise")
        whole = sum(flour in ("wholewheat", "rye") for flour in self.flours) / len(self.flours)
        grain = math.pow(number["wholegrain_factor"], whole)
        stiff = max(0.0, 1.0 - self.hydration) / (1.0 - number["stiff_hydration"])
        return grain * (1.0 + number["stiff_factor"] * stiff)

    @property
    def gain(self) -> float:
        """Height gained at the peak over the height at the feed, of a typical mature culture."""
        number = section("gain")
        dry = sum(number[flour] for flour in self.flours) / len(self.flours)
        wet = min(number["wet"], dry)
        share = (self.hydration - 1.0) / (number["wet_hydration"] - 1.0)
        return dry * math.pow(wet / dry, min(1.0, max(0.0, share)))

    @property
    def mark(self) -> float:
        """The height ratio that counts as doubled: 2.0, or two thirds of a gain that falls short of it.

        Rye at its full strength may rise by three quarters only, so 1.5 counts (F-082, common practice).
        """
        return 2.0 if self.gain > 1.0 else 1.0 + self.gain * 2.0 / 3.0


def check_ratio(ratio: Ratio) -> None:
    """Raises InputError unless there is seed and flour, nothing negative, and it is no more than 1:1000."""
    starter, flour, water = ratio
    if not all(math.isfinite(part) for part in ratio):
        raise InputError("ratio wants three numbers: starter, flour, water by weight")
    if starter <= 0.0:
        raise InputError("ratio has no seed: starter must be more than 0")
    if flour <= 0.0:
        raise InputError("ratio has no flour: flour must be more than 0")
    if water < 0.0:
        raise InputError("ratio has water under 0: it must be 0 or more")
    if max(flour, water) > MOST_TO_ONE * starter:
        raise InputError(f"ratio must be at most 1:{MOST_TO_ONE:.0f}:{MOST_TO_ONE:.0f}")


def check_hydration(hydration: float, what: str = "hydration") -> None:
    """Raises InputError outside 0.4..3.0 (40..300 %)."""
    if not (math.isfinite(hydration) and DRIEST - 1e-9 <= hydration <= WETTEST + 1e-9):
        raise InputError(
            f"{what} is {hydration:.3g}: it must be {DRIEST:g} to {WETTEST:g}"
            " (water over flour by weight, 1.0 is 100 %)"
        )


def work(feeding: Feeding, gain_share: float) -> float:
    """Work until that share (0..1] of the peak's gain, in units of hours x pace x vigour."""
    return work_past(feeding, work_share(gain_share))


def work_past(feeding: Feeding, effort: float) -> float:
    """Work until ``effort`` times the work of the peak (1.0 is the peak) is done on the dough."""
    return works_past(feeding, (effort,))[0]


def works_past(feeding: Feeding, efforts: Sequence[float]) -> list[float]:
    """``work_past`` for each of them."""
    number = section("rise")
    lag, at_peak = number["lag"], math.log1p(number["peak_excess"])
    dilution, factor = feeding.dilution, feeding.work_factor / number["dough_factor"]
    return [
        factor * (lag + math.log1p(dilution * math.expm1(effort * at_peak))) for effort in efforts
    ]


def gain_share(feeding: Feeding, done: float) -> float:
    """The share of the peak's gain after that much work; the inverse of ``work``, and the fall after it."""
    number = section("rise")
    grown = done * number["dough_factor"] / feeding.work_factor - number["lag"]
    if grown <= 0.0:
        return 0.0
    effort = math.log1p(math.expm1(grown) / feeding.dilution) / math.log1p(number["peak_excess"])
    return share_at(effort)


def work_share(gain_share: float) -> float:
    """The work done when that share of the peak's gain is first reached, over the work at the peak."""
    rising, heights = _rising()
    if gain_share >= heights[-1]:
        return 1.0
    place = bisect.bisect_right(heights, max(0.0, gain_share))
    low, high = heights[place - 1], heights[place]
    part = (gain_share - low) / (high - low)
    return rising[place - 1] + part * (rising[place] - rising[place - 1])


def share_at(effort: float) -> float:
    """The share of the peak's gain when ``effort`` times the work of the peak is done."""
    start = section("rise")["dissolved"]
    if effort <= start:
        return 0.0
    if effort >= _LONGEST:
        return 1.0 / effort
    points, heights = _whole()
    step = points[1] - points[0]
    place = min(len(points) - 2, int((effort - start) / step))
    part = (effort - points[place]) / step
    return heights[place] + part * (heights[place + 1] - heights[place])


@cache
def _leak() -> float:
    """The constant c for which the gain is 1 at its peak."""
    start = section("rise")["dissolved"]
    low, high = 0.5, 20.0
    while high - low > 1e-12:
        middle = (low + high) / 2.0
        if _gains(middle, start, 1.0, _STEPS)[-1] > 1.0:
            high = middle
        else:
            low = middle
    return (low + high) / 2.0


@cache
def _rising() -> tuple[tuple[float, ...], tuple[float, ...]]:
    start = section("rise")["dissolved"]
    step = (1.0 - start) / _STEPS
    points = tuple(start + step * index for index in range(_STEPS + 1))
    return points, _gains(_leak(), start, 1.0, _STEPS)


@cache
def _whole() -> tuple[tuple[float, ...], tuple[float, ...]]:
    start = section("rise")["dissolved"]
    steps = 8 * _STEPS
    step = (_LONGEST - start) / steps
    points = tuple(start + step * index for index in range(steps + 1))
    return points, _gains(_leak(), start, _LONGEST, steps)


def _gains(leak: float, start: float, end: float, steps: int) -> tuple[float, ...]:
    """The gain along ``start..end`` by Runge and Kutta's fourth-order rule."""
    step = (end - start) / steps
    gain, effort = 0.0, start
    gains = [gain]
    for _ in range(steps):
        k1 = leak * (1.0 - effort * gain)
        k2 = leak * (1.0 - (effort + step / 2.0) * (gain + step * k1 / 2.0))
        k3 = leak * (1.0 - (effort + step / 2.0) * (gain + step * k2 / 2.0))
        k4 = leak * (1.0 - (effort + step) * (gain + step * k3))
        gain += step * (k1 + 2.0 * k2 + 2.0 * k3 + k4) / 6.0
        effort += step
        gains.append(gain)
    return tuple(gains)
