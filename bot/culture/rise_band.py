"""The heights to expect along a rise: hour by hour, as a spread.

``rise.forecast`` says when; this says how high at each hour, which is what a picture needs. For each
kind of yeast the belief about vigour and gain is taken as a normal distribution of their logarithms,
widened by what differs from feed to feed, and put into some fifty cases of equal weight, laid out evenly;
at every hour the spread is read off the heights of all cases.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from statistics import NormalDist

from bot.culture.curve import Feeding, gain_share
from bot.culture.growth import pace
from bot.culture.numbers import section
from bot.culture.spread import HIGH, LOW, MEDIAN, Spread
from bot.culture.vigour import Vigour, thermometer_sd, usual

_CASES = 48
_TURN = (math.sqrt(5.0) - 1.0) / 2.0
"""The golden section lays points out evenly, whatever their number (a lattice of Fibonacci's kind)."""


@dataclass(frozen=True, slots=True)
class _Case:
    weight: float
    gain: float
    work_per_h: float


def heights(
    feeding: Feeding, hours: Sequence[float], vigour: Vigour | None = None
) -> tuple[Spread, ...]:
    """The height ratio at each of these hours after the feed: 1.0 at first, and falling at last.

    ``vigour`` None is a typical mature culture of which nothing was reported.
    """
    cases = _cases(feeding, vigour or usual())
    return tuple(_at(feeding, cases, hour) for hour in hours)


def _cases(feeding: Feeding, belief: Vigour) -> list[_Case]:
    noise = math.hypot(section("noise")["feed"], thermometer_sd(feeding.celsius, 0.3))
    cases: list[_Case] = []
    for warm_share in sorted({kind.warm_share for kind in belief.kinds}):
        cloud = _cloud(belief, warm_share)
        speed = pace(feeding.celsius, warm_share)
        if cloud.weight <= 1e-6 or speed <= 0.0:
            continue
        sd = math.hypot(cloud.vigour_sd, noise)
        # What is noise of the feed does not go with the gain.
        together = cloud.together * cloud.vigour_sd / sd
        for along, across in _points():
            vigour = cloud.vigour + sd * along
            tilted = together * along + math.sqrt(1.0 - together * together) * across
            cases.append(
                _Case(
                    weight=cloud.weight / _CASES,
                    gain=feeding.gain * math.exp(cloud.gain + cloud.gain_sd * tilted),
                    work_per_h=speed * math.exp(vigour),
                )
            )
    return cases


@dataclass(frozen=True, slots=True)
class _Cloud:
    """The belief for one kind of yeast: means and deviations of log vigour and log gain factor."""

    weight: float
    vigour: float
    vigour_sd: float
    gain: float
    gain_sd: float
    together: float
    """The correlation of the two."""


def _cloud(belief: Vigour, warm_share: float) -> _Cloud:
    cells = [
        (row[column], at, math.log(kind.gain_factor))
        for column, kind in enumerate(belief.kinds)
        if kind.warm_share == warm_share
        for at, row in zip(belief.logs, belief.weights, strict=True)
    ]
    weight = sum(share for share, _, _ in cells)
    if weight <= 0.0:
        return _Cloud(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    vigour = sum(share * at for share, at, _ in cells) / weight
    gain = sum(share * log for share, _, log in cells) / weight
    vigour_sd = math.sqrt(sum(share * (at - vigour) ** 2 for share, at, _ in cells) / weight)
    gain_sd = math.sqrt(sum(share * (log - gain) ** 2 for share, _, log in cells) / weight)
    shared = sum(share * (at - vigour) * (log - gain) for share, at, log in cells) / weight
    scale = vigour_sd * gain_sd
    together = min(0.999, max(-0.999, shared / scale)) if scale > 1e-12 else 0.0
    return _Cloud(weight, vigour, vigour_sd, gain, gain_sd, together)


@cache
def _points() -> tuple[tuple[float, float], ...]:
    """Two independent standard normal coordinates of each case."""
    normal = NormalDist()
    return tuple(
        (
            normal.inv_cdf((index + 0.5) / _CASES),
            normal.inv_cdf(((index + 0.5) * _TURN) % 1.0),
        )
        for index in range(_CASES)
    )


def _at(feeding: Feeding, cases: Sequence[_Case], hour: float) -> Spread:
    reached = sorted(
        (1.0 + case.gain * gain_share(feeding, max(0.0, hour) * case.work_per_h), case.weight)
        for case in cases
    )
    total = sum(weight for _, weight in reached)
    low, median, high = (_share(reached, wanted * total) for wanted in (LOW, MEDIAN, HIGH))
    return Spread(low=low, median=median, high=high)


def _share(reached: Sequence[tuple[float, float]], wanted: float) -> float:
    """The height under which that much weight lies, each case's weight being centred on its height."""
    under, last_height, last_middle = 0.0, reached[0][0], 0.0
    for height, weight in reached:
        middle = under + weight / 2.0
        if middle >= wanted:
            part = (wanted - last_middle) / (middle - last_middle)
            return last_height + part * (height - last_height)
        under, last_height, last_middle = under + weight, height, middle
    return last_height
