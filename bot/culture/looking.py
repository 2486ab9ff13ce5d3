"""One look at a fed jar, and how likely it is for a culture of a certain vigour, gain and yeast.

The three unknowns of a jar are counted in ways that make a look nearly linear in each: the logarithm of
the vigour, and two standard normals, one for the height its flour gains, one for the share of its yeast
that likes warmth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal, TypeAlias

from bot.culture.curve import Feeding, work
from bot.culture.growth import REFERENCE_C, pace
from bot.culture.numbers import section
from bot.errors import InputError

When: TypeAlias = Literal["at", "by", "not-by"]

LEAST_RISE, MOST_RISE = 1.0, 10.0
LONGEST_H = 24.0 * 14

_SHOWS = 1.1
"""A smaller rise cannot be told from none."""
_FULL = 0.97
"""The share of the peak's gain that cannot be told from the peak."""
FARTHEST = 4.0
"""The unknowns are followed this many standard deviations out."""
_STEP = 0.25
_NODES = tuple(_STEP * index - FARTHEST for index in range(int(2 * FARTHEST / _STEP) + 1))


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


def gain_factor(gain_z: float) -> float:
    """The jar's gain over the usual one of its flour, from its standard normal."""
    return math.exp(section("noise")["gain"] * gain_z)


def quickness(gain_factor: float) -> float:
    """How many times quicker the yeast of such a jar works than its vigour says.

    The vigour counts how soon a jar doubles. One that gains less must work quicker to double as soon.
    """
    feeding = Feeding(ratio=(1.0, 1.0, 1.0), celsius=REFERENCE_C)
    usual = 1.0 / feeding.gain
    return work(feeding, min(usual / gain_factor, _FULL)) / work(feeding, usual)


def log_quickness(gain_z: float) -> float:
    """The logarithm of ``quickness``, from the gain's standard normal: read off a table."""
    return _between(_quicknesses(), gain_z)


@cache
def _quicknesses() -> tuple[float, ...]:
    return tuple(math.log(quickness(gain_factor(gain_z))) for gain_z in _NODES)


def warm_share(warm_z: float) -> float:
    """The share (0..1) of the jar's yeast that likes warmth, from its standard normal."""
    number = section("warm")
    return 1.0 / (1.0 + math.exp(-number["middle"] - number["spread"] * warm_z))


@lru_cache(maxsize=4096)
def thermometer_sd(celsius: float) -> float:
    """What a kitchen's reading that may be off does to the log of the pace at that warmth."""
    off_c, warm = section("noise")["thermometer_c"], warm_share(0.0)
    low, high = pace(celsius - off_c, warm), pace(celsius + off_c, warm)
    return min(1.0, abs(high - low) / (2.0 * pace(celsius, warm)))


@dataclass(frozen=True, slots=True)
class Look:
    """An observation made ready.

    The look comes out just so when the log of the vigour is ``centre``: a table over the gain less a
    table over the yeast less the log of the hours. ``over`` is by how many standard deviations of a level
    the height seen is above the usual gain's peak: the less a gain reaches it, the less it fits.
    """

    heights: tuple[float, ...]
    over: float
    paces: tuple[float, ...]
    log_hours: float
    sd: float
    when: When

    def centre(self, warm_z: float, gain_z: float) -> float:
        return _between(self.heights, gain_z) - _between(self.paces, warm_z) - self.log_hours

    def slopes(self, warm_z: float, gain_z: float) -> tuple[float, float]:
        """Of the centre, by the yeast's and the gain's unknown."""
        return -_slope(self.paces, warm_z), _slope(self.heights, gain_z)

    def stand(self, log_vigour: float, warm_z: float, gain_z: float) -> tuple[float, float]:
        """Standard deviations above the centre, and how well the peak goes with the height."""
        distance = (log_vigour - self.centre(warm_z, gain_z)) / self.sd
        over = max(0.0, self.over - _gain_per_level() * gain_z)
        return distance, math.exp(-0.5 * over * over)

    def fit_pull(self, gain_z: float) -> tuple[float, float]:
        """Slope and downward bend of the log of the fit, by the gain's unknown."""
        per_level = _gain_per_level()
        over = self.over - per_level * gain_z
        if over <= 0.0 or self.when == "not-by":
            return 0.0, 0.0
        return over * per_level, per_level * per_level

    def chance_at(self, distance: float, fit: float) -> float:
        """The likelihood at so many standard deviations of the log vigour above the centre."""
        stray, plain = _stray()
        match self.when:
            case "at":
                # A stray time may be anything within a factor of about five either way.
                return plain * fit * math.exp(-0.5 * distance * distance) * _NORMAL / self.sd + (
                    stray / 3.0
                )
            case "by":
                # Reached by then: the culture is at least as strong as the centre.
                return plain * fit * _under(distance) + stray / 2.0
            case "not-by":
                # A peak that stays below the height says nothing about the speed.
                return plain * (1.0 - fit * _under(distance)) + stray / 2.0

    def pull(self, distance: float, fit: float) -> tuple[float, float]:
        """Slope and downward bend of the log likelihood by the log vigour, where it is no stray."""
        whole = self.chance_at(distance, fit)
        bell = math.exp(-0.5 * distance * distance) * _NORMAL
        plain = _stray()[1]
        match self.when:
            case "at":
                told = plain * fit * bell / self.sd / whole
                return -distance / self.sd * told, told / self.sd**2
            case "by":
                slope = plain * fit * bell / whole
                return slope / self.sd, max(0.0, slope * (slope + distance)) / self.sd**2
            case "not-by":
                slope = plain * fit * bell / whole
                return -slope / self.sd, max(0.0, slope * (slope - distance)) / self.sd**2


def log_chance(looks: Sequence[Look], log_vigour: float, warm_z: float, gain_z: float) -> float:
    """The log likelihood of all looks together at one point: the inner loop of an update."""
    stray, plain = _stray()
    per_level = _gain_per_level()
    warm, warm_part = _place(warm_z)
    gain, gain_part = _place(gain_z)
    total, product = 0.0, 1.0
    for one in looks:
        heights, paces = one.heights, one.paces
        centre = (
            heights[gain]
            + gain_part * (heights[gain + 1] - heights[gain])
            - paces[warm]
            - warm_part * (paces[warm + 1] - paces[warm])
            - one.log_hours
        )
        over = one.over - per_level * gain_z
        fit = math.exp(-0.5 * over * over) if over > 0.0 else 1.0
        distance = (log_vigour - centre) / one.sd
        if one.when == "at":
            bell = math.exp(-0.5 * distance * distance) * _NORMAL / one.sd
            product *= plain * fit * bell + stray / 3.0
        elif one.when == "by":
            product *= plain * fit * 0.5 * math.erfc(-distance * _ROOT) + stray / 2.0
        else:
            product *= plain * (1.0 - fit * 0.5 * math.erfc(-distance * _ROOT)) + stray / 2.0
        if not 1e-250 < product < 1e250:
            total, product = total + math.log(product), 1.0
    return total + math.log(product)


def look(seen: Observation) -> Look | None:
    """None when the report says nothing: a height of 1.0 was there by then."""
    when, rise = seen.when, seen.rise
    if rise < _SHOWS:
        if when == "by":
            return None
        when, rise = "not-by", _SHOWS
    heights, over, level_sd = _heights(seen.feeding, rise)
    noise = section("noise")
    return Look(
        heights=heights,
        over=over,
        paces=_paces(seen.feeding.celsius),
        log_hours=math.log(seen.hours),
        sd=math.sqrt(
            noise["feed"] ** 2
            + noise["clock"] ** 2
            + noise["curve"] ** 2
            + thermometer_sd(seen.feeding.celsius) ** 2
            + level_sd**2
        ),
        when=when,
    )


_NORMAL = 1.0 / math.sqrt(2.0 * math.pi)
_ROOT = math.sqrt(0.5)


@lru_cache(maxsize=4096)
def _heights(feeding: Feeding, rise: float) -> tuple[tuple[float, ...], float, float]:
    """Log work until that height, over the quickness, by the gain; ``Look.over``; what a misread level adds to the log work."""
    level = section("noise")["level"]
    usual = (rise - 1.0) / feeding.gain
    works = tuple(
        math.log(work(feeding, min(usual / gain_factor(gain_z), _FULL))) - log_quick
        for gain_z, log_quick in zip(_NODES, _quicknesses(), strict=True)
    )
    held = min(usual, _FULL)
    here = math.log(work(feeding, held))
    above = math.log(work(feeding, min(_FULL, held * (1.0 + level))))
    under = math.log(work(feeding, held * (1.0 - level)))
    return works, math.log(usual / _FULL) / level, max(above - here, here - under)


@lru_cache(maxsize=4096)
def _paces(celsius: float) -> tuple[float, ...]:
    return tuple(math.log(pace(celsius, warm_share(warm_z))) for warm_z in _NODES)


@cache
def _stray() -> tuple[float, float]:
    stray = section("noise")["stray"]
    return stray, 1.0 - stray


@cache
def _gain_per_level() -> float:
    """A standard deviation of the gain, counted in those of a level read off the glass."""
    noise = section("noise")
    return noise["gain"] / noise["level"]


def _under(distance: float) -> float:
    """The share of a standard normal below that."""
    return 0.5 * math.erfc(-distance * _ROOT)


def _place(at: float) -> tuple[int, float]:
    """Between which two nodes of the tables, and how far from the first."""
    place = (at + FARTHEST) / _STEP
    index = min(len(_NODES) - 2, max(0, int(place)))
    return index, place - index


def _between(table: tuple[float, ...], at: float) -> float:
    index, part = _place(at)
    return table[index] + part * (table[index + 1] - table[index])


def _slope(table: tuple[float, ...], at: float) -> float:
    index, _ = _place(at)
    return (table[index + 1] - table[index]) / _STEP
