"""How strong one person's culture is, learnt from what they saw: a posterior on a grid.

Three things are not known of a jar: its vigour (1.0 is a typical mature culture, 0.5 takes twice the
time), the height its flour really gains, and how much of its yeast likes warmth. A report tells when a
height was reached (``at``), that it had been reached by then (``by``) or not yet (``not-by``). The
sums are over a grid, so the same reports always give the same answer, in milliseconds, whatever
their number. Only the vigour is reported: the other two are carried along so that they do not pass
for vigour. A small share of reports is allowed to be plainly wrong, so that no single one decides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal, TypeAlias

from bot.culture.curve import Feeding, work
from bot.culture.growth import pace
from bot.culture.numbers import section
from bot.culture.spread import HIGH, LOW, MEDIAN, Spread
from bot.errors import InputError

When: TypeAlias = Literal["at", "by", "not-by"]

LEAST_RISE, MOST_RISE = 1.0, 10.0
LONGEST_H = 24.0 * 14
MOST_REPORTS = 5000

_SHOWS = 1.1
"""A smaller rise cannot be told from none."""
_FULL = 0.97
"""The share of the peak's gain that cannot be told from the peak."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One look at a fed jar: the height ratio ``rise`` was there ``when`` at ``hours`` after the feed.

    Raises InputError for a rise outside 1..10 or hours outside 0..336 (0 excluded).
    """

    feeding: Feeding
    rise: float
    hours: float
    when: When = "at"

    def __post_init__(self) -> None:
        if not (math.isfinite(self.rise) and LEAST_RISE <= self.rise <= MOST_RISE):
            raise InputError(
                f"rise {self.rise:g} is outside {LEAST_RISE:g}..{MOST_RISE:g}"
                " (height over the height just after the feed, 2.0 is doubled)"
            )
        if not (math.isfinite(self.hours) and 0.0 < self.hours <= LONGEST_H):
            raise InputError(f"hours {self.hours:g} must be more than 0 and at most {LONGEST_H:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One possibility of what a jar is: its gain over the usual, and the share of warmth-loving yeast."""

    gain_factor: float
    warm_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Vigour:
    """The belief about one culture: a weight for each log vigour (rows) and each kind (columns)."""

    logs: tuple[float, ...]
    kinds: tuple[Kind, ...]
    weights: tuple[tuple[float, ...], ...]
    reports: int = 0

    @property
    def spread(self) -> Spread:
        """The vigour's central 80 % and median; 1.0 is a typical mature culture."""
        shares = [sum(row) for row in self.weights]
        low, median, high = (_quantile(self.logs, shares, q) for q in (LOW, MEDIAN, HIGH))
        return Spread(low=math.exp(low), median=math.exp(median), high=math.exp(high))

    def share_below(self, vigour: float) -> float:
        """The share of the belief (0..1) that lies under that vigour."""
        step = self.logs[1] - self.logs[0]
        at = math.log(vigour)
        return sum(
            sum(row) * min(1.0, max(0.0, (at - log) / step + 0.5))
            for log, row in zip(self.logs, self.weights, strict=True)
        )


def learn(observations: Sequence[Observation], *, age_days: float | None = None) -> Vigour:
    """What the culture's vigour is after these reports, in any order.

    ``age_days`` counts from the first mix; None is a mature culture. The vigour is taken to be the same
    in all of them: hand over the last feeds only when the culture is still changing. Raises InputError
    for more than 5,000 reports or a negative age.
    """
    if len(observations) > MOST_REPORTS:
        raise InputError(f"{len(observations)} observations: at most {MOST_REPORTS} are taken")
    middle, sd = _prior(age_days)
    prior = _on_grid((), middle, sd, middle - 5.0 * sd, middle + 5.0 * sd, 51)
    if not observations:
        return prior
    looks = [look for look in map(_look, observations) if look is not None]
    rough = _on_grid(looks, middle, sd, middle - 6.0 * sd - 1.0, middle + 6.0 * sd, 36)
    low, high = _support(rough)
    return _on_grid(looks, middle, sd, low, high, 41, reports=len(observations))


def usual(age_days: float | None = None) -> Vigour:
    """The belief before any report; ``age_days`` as in ``learn``."""
    return learn((), age_days=age_days)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """An observation made ready: for each kind, the log vigour at which it would come out just so."""

    centres: tuple[float, ...]
    sds: tuple[float, ...]
    fits: tuple[float, ...]
    """How well each kind's peak goes with the height that was seen, 0..1."""
    when: When


def thermometer_sd(celsius: float, warm_share: float) -> float:
    """What a kitchen's reading that may be off does to the log of the pace at that warmth."""
    off_c = section("noise")["thermometer_c"]
    here = pace(celsius, warm_share)
    low, high = pace(celsius - off_c, warm_share), pace(celsius + off_c, warm_share)
    return min(1.0, abs(high - low) / (2.0 * here)) if here > 0.0 else 1.0


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


@cache
def kinds() -> tuple[tuple[Kind, float], ...]:
    """The possibilities of a jar, each with its weight before any report."""
    number, share = section("noise"), section("kind")
    # Three points of Gauss and Hermite: exact for the moments of a normal up to the fifth.
    step = math.sqrt(3.0) * number["gain"]
    gains = ((-step, 1 / 6), (0.0, 2 / 3), (step, 1 / 6))
    yeasts = tuple((share[name], share[f"{name}_weight"]) for name in ("none", "some", "all"))
    return tuple(
        (Kind(gain_factor=math.exp(log_gain), warm_share=warm), gain_weight * warm_weight)
        for log_gain, gain_weight in gains
        for warm, warm_weight in yeasts
    )


def _look(seen: Observation) -> _Look | None:
    """None when the report says nothing: a height of 1.0 was there by then."""
    when, rise = seen.when, seen.rise
    if rise < _SHOWS:
        if when == "by":
            return None
        when, rise = "not-by", _SHOWS
    number, feeding = section("noise"), seen.feeding
    centres, sds, fits = [], [], []
    steps: dict[float, tuple[float, float, float]] = {}
    heats: dict[float, tuple[float, float]] = {}
    for kind, _ in kinds():
        if kind.gain_factor not in steps:
            steps[kind.gain_factor] = _height_step(feeding, rise, kind.gain_factor)
        if kind.warm_share not in heats:
            heats[kind.warm_share] = (
                math.log(pace(feeding.celsius, kind.warm_share) or 1e-9),
                thermometer_sd(feeding.celsius, kind.warm_share),
            )
        log_work, level_sd, fit = steps[kind.gain_factor]
        log_pace, heat_sd = heats[kind.warm_share]
        centres.append(log_work - log_pace - math.log(seen.hours))
        sds.append(math.sqrt(number["feed"] ** 2 + number["clock"] ** 2 + heat_sd**2 + level_sd**2))
        fits.append(fit)
    return _Look(centres=tuple(centres), sds=tuple(sds), fits=tuple(fits), when=when)


def _height_step(feeding: Feeding, rise: float, gain_factor: float) -> tuple[float, float, float]:
    """Log work until that height, the sd a misread level adds to it, and how well the peak allows it."""
    level = section("noise")["level"]
    share = (rise - 1.0) / (feeding.gain * gain_factor)
    held = min(share, _FULL)
    log_work = math.log(work(feeding, held))
    above = math.log(work(feeding, min(_FULL, held * (1.0 + level))))
    under = math.log(work(feeding, held * (1.0 - level)))
    fit = math.exp(-0.5 * (math.log(share / _FULL) / level) ** 2) if share > _FULL else 1.0
    return log_work, max(above - log_work, log_work - under), fit


def _on_grid(
    looks: Sequence[_Look],
    middle: float,
    sd: float,
    low: float,
    high: float,
    points: int,
    *,
    reports: int = 0,
) -> Vigour:
    step = (high - low) / (points - 1)
    logs = tuple(low + step * index for index in range(points))
    columns = [
        _column(
            looks, index, logs, [math.log(weight) - 0.5 * ((at - middle) / sd) ** 2 for at in logs]
        )
        for index, (_, weight) in enumerate(kinds())
    ]
    top = max(map(max, columns))
    raw = [[math.exp(column[row] - top) for column in columns] for row in range(points)]
    total = sum(map(sum, raw))
    return Vigour(
        logs=logs,
        kinds=tuple(kind for kind, _ in kinds()),
        weights=tuple(tuple(cell / total for cell in row) for row in raw),
        reports=reports,
    )


def _column(
    looks: Sequence[_Look], kind: int, logs: Sequence[float], start: list[float]
) -> list[float]:
    """Log weight along the grid for one kind, after all reports."""
    stray = section("noise")["stray"]
    erf, exp, log, root = math.erf, math.exp, math.log, math.sqrt(2.0)
    column = start
    for look in looks:
        centre, sd, fit = look.centres[kind], look.sds[kind], look.fits[kind]
        scale = 1.0 / (sd * root)
        match look.when:
            case "at":
                # A stray time may be anything within a factor of about five either way.
                peak, floor = (1.0 - stray) * fit / (sd * 2.5066282746310002), stray / 3.0
                column = [
                    weight + log(floor + peak * exp(-(((at - centre) * scale) ** 2)))
                    for weight, at in zip(column, logs, strict=True)
                ]
            case "by":
                # Reached by then: the culture is at least as strong as the centre.
                half, floor = (1.0 - stray) * fit / 2.0, stray / 2.0
                column = [
                    weight + log(floor + half * (1.0 + erf((at - centre) * scale)))
                    for weight, at in zip(column, logs, strict=True)
                ]
            case "not-by":
                # A peak that stays below the height says nothing about the speed.
                half, floor = (1.0 - stray) / 2.0, stray / 2.0
                column = [
                    weight + log(floor + half * (2.0 - fit * (1.0 + erf((at - centre) * scale))))
                    for weight, at in zip(column, logs, strict=True)
                ]
    return column


def _support(rough: Vigour) -> tuple[float, float]:
    """The stretch of the grid that holds all but a millionth of the belief, one step more each way."""
    shares = [sum(row) for row in rough.weights]
    step = rough.logs[1] - rough.logs[0]
    kept = [at for at, share in zip(rough.logs, shares, strict=True) if share > 1e-6]
    return kept[0] - step, kept[-1] + step


def _quantile(points: Sequence[float], shares: Sequence[float], wanted: float) -> float:
    """Where the cumulated share reaches ``wanted``; each point's share is spread over its own cell."""
    step = points[1] - points[0]
    target = wanted * sum(shares)
    reached = 0.0
    for at, share in zip(points, shares, strict=True):
        if reached + share >= target and share > 0.0:
            return at - step / 2.0 + step * (target - reached) / share
        reached += share
    return points[-1]
