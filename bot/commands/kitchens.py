"""Invented kitchens whose truth is known, to try the forecast on: seeded, so always the same.

A kitchen draws its culture's vigour, the gain of its flour and its yeast, and then reports as people
do: a thermometer that is off, a clock told from memory, a level read off the glass, looks at the hours
when somebody is up, now and then nonsense. Where the model has three kinds of a thing, these have all
between: gains are drawn from a whole bell curve, and a night is cooler than the day.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from random import Random

from bot.culture.curve import Feeding, work
from bot.culture.growth import pace
from bot.culture.looking import Observation, When, quickness, warm_share
from bot.culture.numbers import section

_RATIOS = ((1.0, 1.0, 1.0), (1.0, 2.0, 2.0), (1.0, 3.0, 3.0), (1.0, 5.0, 5.0))
_LOOKS_H = (2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 24.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kitchen:
    """The truth of one kitchen. ``celsius`` is what it tells of its warmth on average."""

    vigour: float
    gain_factor: float
    warm_share: float
    celsius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One feed of it as it really goes: hours to doubling (None: never) and to the peak."""

    feeding: Feeding
    double_h: float | None
    peak_h: float


def kitchen(chance: Random) -> Kitchen:
    noise = section("noise")
    return Kitchen(
        vigour=math.exp(chance.gauss(0.0, noise["vigour"])),
        gain_factor=math.exp(chance.gauss(0.0, noise["gain"])),
        warm_share=warm_share(chance.gauss(0.0, 1.0)),
        celsius=chance.uniform(17.0, 28.0),
    )


def feed(truth: Kitchen, chance: Random) -> Fact:
    """A feed told with the thermometer's error: the fact is at the warmth that really was."""
    told_c = truth.celsius + chance.gauss(0.0, 0.7)
    real_c = told_c + chance.gauss(0.0, section("noise")["thermometer_c"])
    feeding = Feeding(ratio=chance.choice(_RATIOS), celsius=told_c)
    luck = math.exp(chance.gauss(0.0, section("noise")["feed"]))
    speed = truth.vigour * quickness(truth.gain_factor) * pace(real_c, truth.warm_share)
    return Fact(
        feeding=feeding,
        double_h=_hours(feeding, 2.0, truth, speed, luck),
        peak_h=work(feeding, 1.0) / speed * luck,
    )


def report(truth: Kitchen, chance: Random) -> Observation:
    """What its keeper tells of one feed: a moment, or that it was there already, or was not yet."""
    fact = feed(truth, chance)
    noise = section("noise")
    if chance.random() < noise["stray"]:
        return _nonsense(fact, chance)
    wanted = chance.choice((1.5, 2.0, 2.0, 2.0))
    speed = _speed(fact)
    if chance.random() < 0.4:
        # A moment that was seen: the level is read wrongly, the clock told roughly.
        read = 1.0 + (wanted - 1.0) * math.exp(chance.gauss(0.0, noise["level"]))
        hours = _reached(fact, truth, speed, read)
        if hours is not None:
            told = hours * math.exp(chance.gauss(0.0, noise["clock"]))
            return Observation(feeding=fact.feeding, rise=wanted, hours=min(told, 300.0), when="at")
    look = chance.choice(_LOOKS_H)
    read = 1.0 + (wanted - 1.0) * math.exp(chance.gauss(0.0, noise["level"]))
    reached = _reached(fact, truth, speed, read)
    moment = look * math.exp(chance.gauss(0.0, noise["clock"]))
    when: When = "by" if reached is not None and reached <= moment else "not-by"
    return Observation(feeding=fact.feeding, rise=wanted, hours=look, when=when)


def _hours(
    feeding: Feeding, rise: float, truth: Kitchen, speed: float, luck: float
) -> float | None:
    share = (rise - 1.0) / (feeding.gain * truth.gain_factor)
    return None if share > 1.0 else work(feeding, share) / speed * luck


def _speed(fact: Fact) -> float:
    """Work per hour of this very feed, its luck included."""
    return work(fact.feeding, 1.0) / fact.peak_h


def _reached(fact: Fact, truth: Kitchen, speed: float, rise: float) -> float | None:
    return _hours(fact.feeding, rise, truth, speed, 1.0)


def _nonsense(fact: Fact, chance: Random) -> Observation:
    whens: tuple[When, ...] = ("at", "by", "not-by")
    seen = Observation(feeding=fact.feeding, rise=2.0, hours=1.0)
    return replace(seen, hours=chance.uniform(1.0, 30.0), when=chance.choice(whens))
