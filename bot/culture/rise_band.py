"""The heights to expect along a rise: hour by hour, as a spread.

``rise.forecast`` says when; this says how high at each hour, which is what a picture needs. The belief
about speed and gain is taken as a normal distribution of their logarithms, widened by what differs from
feed to feed, and put into some hundred cases of equal weight, laid out evenly; at every hour the spread
is read off the heights of all cases.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from statistics import NormalDist

from bot.culture.curve import Feeding, gain_share
from bot.culture.growth import pace
from bot.culture.looking import thermometer_sd
from bot.culture.numbers import section
from bot.culture.spread import HIGH, LOW, MEDIAN, Spread
from bot.culture.vigour import Vigour, usual

_CASES = 120
_TURN = (math.sqrt(5.0) - 1.0) / 2.0
"""The golden section lays points out evenly, whatever their number (a lattice of Fibonacci's kind)."""


@dataclass(frozen=True, slots=True)
class _Case:
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
    noise = math.hypot(section("noise")["feed"], thermometer_sd(feeding.celsius))
    cloud = _cloud(feeding, belief)
    sd = math.hypot(cloud.speed_sd, noise)
    # What is noise of the feed does not go with the gain.
    together = cloud.together * cloud.speed_sd / sd
    cases: list[_Case] = []
    for along, across in _points():
        tilted = together * along + math.sqrt(1.0 - together * together) * across
        cases.append(
            _Case(
                gain=feeding.gain * math.exp(cloud.gain + cloud.gain_sd * tilted),
                work_per_h=math.exp(cloud.speed + sd * along),
            )
        )
    return cases


@dataclass(frozen=True, slots=True)
class _Cloud:
    """The belief at that warmth: means and deviations of log work per hour and log gain factor."""

    speed: float
    speed_sd: float
    gain: float
    gain_sd: float
    together: float
    """The correlation of the two."""


def _cloud(feeding: Feeding, belief: Vigour) -> _Cloud:
    cells = [
        (
            cell.weight,
            at + math.log(pace(feeding.celsius, cell.warm_share) * cell.quickness),
            math.log(cell.gain_factor),
        )
        for at, row in zip(belief.logs, belief.rows, strict=True)
        for cell in row
    ]
    speed = sum(share * at for share, at, _ in cells)
    gain = sum(share * log for share, _, log in cells)
    speed_sd = math.sqrt(sum(share * (at - speed) ** 2 for share, at, _ in cells))
    gain_sd = math.sqrt(sum(share * (log - gain) ** 2 for share, _, log in cells))
    shared = sum(share * (at - speed) * (log - gain) for share, at, log in cells)
    scale = speed_sd * gain_sd
    together = min(0.999, max(-0.999, shared / scale)) if scale > 1e-12 else 0.0
    return _Cloud(speed, speed_sd, gain, gain_sd, together)


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
        1.0 + case.gain * gain_share(feeding, max(0.0, hour) * case.work_per_h) for case in cases
    )
    low, median, high = (_quantile(reached, share) for share in (LOW, MEDIAN, HIGH))
    return Spread(low=low, median=median, high=high)


def _quantile(reached: Sequence[float], share: float) -> float:
    """The height under which that share lies, each case standing for the middle of its own part."""
    place = min(len(reached) - 1.0, max(0.0, share * len(reached) - 0.5))
    under = int(place)
    over = min(under + 1, len(reached) - 1)
    return reached[under] + (place - under) * (reached[over] - reached[under])
