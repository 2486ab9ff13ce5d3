"""How fast the culture's yeast and lactic acid bacteria grow at a temperature.

The anchors are published (F-001..F-008, the author's rounded figures, 1998). The curve is the
temperature term of Gänzle, Ehmann, Hammes 1998 (Appl Environ Microbiol 64:2616) *as remembered*:
neither its equation nor its table was seen in print, so use it for ratios between 10 and 32 °C.
Above 32 °C curve and anchors part, and the lower of the two counts (``cautious_yeast_per_h``).
Many a beginner's jar is led by a yeast that likes more warmth (F-039, F-040): ``pace`` takes its
share as an argument, so that a forecast can carry it as a doubt.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, lru_cache

from bot.culture.numbers import section
from bot.errors import InputError

REFERENCE_C = 24.0
"""The warmth at which both kinds of yeast are taken to be equally quick: the trade's usual room."""

COLDEST_C, HOTTEST_C = -30.0, 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """``mu = peak * ((x/xo) * e^(1 - x/xo))^b`` per hour, ``x = tmax - celsius``, ``xo = tmax - topt``.

    Domain 0 °C to tmax; zero outside. It equals ``a x^b e^(-c x)`` with ``c = b/xo`` and
    ``a = peak (e/xo)^b`` (F-030, F-031).
    """

    tmax_c: float
    topt_c: float
    peak_per_h: float
    exponent: float

    def per_h(self, celsius: float) -> float:
        if not 0.0 <= celsius < self.tmax_c:
            return 0.0
        share = (self.tmax_c - celsius) / (self.tmax_c - self.topt_c)
        return self.peak_per_h * math.pow(share * math.exp(1.0 - share), self.exponent)


@dataclass(frozen=True, slots=True, kw_only=True)
class Inflected:
    """The cardinal temperature model with inflection (F-037, Rosso et al. 1993); zero outside tmin..tmax."""

    tmin_c: float
    topt_c: float
    tmax_c: float
    peak_per_h: float

    def per_h(self, celsius: float) -> float:
        low, best, high = self.tmin_c, self.topt_c, self.tmax_c
        if not low < celsius < high:
            return 0.0
        over = (celsius - high) * (celsius - low) ** 2
        under = (best - low) * (
            (best - low) * (celsius - best) - (best - high) * (best + low - 2.0 * celsius)
        )
        return self.peak_per_h * over / under


@cache
def yeast_curve() -> Curve:
    return _curve("yeast")


@cache
def lab_curve() -> Curve:
    return _curve("lab")


@cache
def warm_yeast_curve() -> Inflected:
    """The baker's-yeast kind that leads many young jars (F-039, published, secondary)."""
    number = section("growth")
    return Inflected(
        tmin_c=number["warm_tmin_c"],
        topt_c=number["warm_topt_c"],
        tmax_c=number["warm_tmax_c"],
        peak_per_h=number["warm_peak_per_h"],
    )


def yeast_per_h(celsius: float) -> float:
    """Growth rate of the sourdough yeast, 1/h; zero below 0 °C and from 35.9 °C (F-033).

    Raises InputError for what is not a temperature of a kitchen, a fridge or an oven (-30..100 °C).

    >>> round(yeast_per_h(24.0), 4)
    0.3649
    """
    return yeast_curve().per_h(_checked(celsius))


def lab_per_h(celsius: float) -> float:
    """Growth rate of the lactic acid bacteria, 1/h; zero below 0 °C and from 41 °C (F-032).

    >>> round(lab_per_h(24.0), 4)
    0.4087
    """
    return lab_curve().per_h(_checked(celsius))


def cautious_yeast_per_h(celsius: float) -> float:
    """``yeast_per_h``, and above 32 °C never more than the published anchors allow, 1/h."""
    rate = yeast_per_h(celsius)
    number = section("growth")
    if celsius <= number["yeast_half_hot_c"]:
        return rate
    return min(rate, number["yeast_peak_per_h"] * _anchor_share(celsius))


def pace(celsius: float, warm_share: float = 0.0) -> float:
    """How fast the yeast of a jar works at that warmth, 1/h, in units of the sourdough yeast's rate.

    ``warm_share`` (0..1) is the part of it that is of the warmth-loving kind, taken to be as quick as
    the other at 24 °C, because the trade's times do not tell them apart there.
    """
    usual, warm_loving = _paces(celsius)
    return (1.0 - warm_share) * usual + warm_share * warm_loving


@lru_cache(maxsize=1024)
def _paces(celsius: float) -> tuple[float, float]:
    """Of the usual and of the warmth-loving kind, 1/h."""
    warm = warm_yeast_curve()
    base = yeast_curve().per_h(REFERENCE_C)
    return cautious_yeast_per_h(celsius), base * warm.per_h(celsius) / warm.per_h(REFERENCE_C)


def _anchor_share(celsius: float) -> float:
    """Between the hot anchors in straight lines: a half, a quarter, nothing."""
    number = section("growth")
    half, quarter, none = (
        number["yeast_half_hot_c"],
        number["yeast_quarter_hot_c"],
        number["yeast_none_hot_c"],
    )
    if celsius >= none:
        return 0.0
    if celsius >= quarter:
        return 0.25 * (none - celsius) / (none - quarter)
    return 0.5 - 0.25 * (celsius - half) / (quarter - half)


def _checked(celsius: float) -> float:
    if not (math.isfinite(celsius) and COLDEST_C <= celsius <= HOTTEST_C):
        raise InputError(
            f"celsius must be a temperature from {COLDEST_C:.0f} to {HOTTEST_C:.0f} °C, not {celsius:g}"
        )
    return celsius


def _curve(organism: str) -> Curve:
    number = section("growth")
    return Curve(
        tmax_c=number[f"{organism}_tmax_c"],
        topt_c=number[f"{organism}_topt_c"],
        peak_per_h=number[f"{organism}_peak_per_h"],
        exponent=number[f"{organism}_exponent"],
    )
