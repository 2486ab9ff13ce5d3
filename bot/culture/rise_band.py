"""The heights to expect along a rise: hour by hour, as a spread.

``rise.forecast`` says when; this says how high at each hour, which is what a picture needs. The belief
about a culture (its vigour, the gain of its flour, its yeast) and what differs from feed to feed are
put into some sixty cases of equal make; at every hour the spread is read off their heights.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from bot.culture.curve import Feeding, gain_share
from bot.culture.growth import pace
from bot.culture.numbers import section
from bot.culture.spread import HIGH, LOW, MEDIAN, Spread
from bot.culture.vigour import Vigour, thermometer_sd, usual

_CASES = 9
"""Vigours for each kind of jar: the middles of nine equal shares of a normal distribution."""


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
    steps = [NormalDist().inv_cdf((index + 0.5) / _CASES) for index in range(_CASES)]
    cases: list[_Case] = []
    for column, kind in enumerate(belief.kinds):
        weights = [row[column] for row in belief.weights]
        total = sum(weights)
        speed = pace(feeding.celsius, kind.warm_share)
        if total <= 1e-6 or speed <= 0.0:
            continue
        middle = sum(w * at for w, at in zip(weights, belief.logs, strict=True)) / total
        spread = sum(w * (at - middle) ** 2 for w, at in zip(weights, belief.logs, strict=True))
        sd = math.hypot(math.sqrt(spread / total), noise)
        cases += (
            _Case(
                weight=total / _CASES,
                gain=feeding.gain * kind.gain_factor,
                work_per_h=speed * math.exp(middle + sd * step),
            )
            for step in steps
        )
    return cases


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
