"""Which phase of its first weeks a culture is likely in, and when its rise can be relied on.

One thing is not known of a young jar: its tempo. A tempo of 2 takes twice the usual days for every
phase. What was seen on which day weighs the tempos, warmth turns days into days of a 22 °C kitchen.
So the big rise of day 2 stays early gas and the stillness of day 5 stays the lull, whatever hopes
or fears they raise: no tempo makes a jar steady on day 2.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from types import MappingProxyType
from typing import Literal, TypeAlias, get_args

from bot.culture.growth import lab_per_h, yeast_per_h
from bot.culture.spread import HIGH, LOW, MEDIAN, Spread
from bot.culture.state import Culture
from bot.culture.vocabulary import Flour, Signs
from bot.errors import HandbookError, InputError
from bot.handbook.book import table

Phase: TypeAlias = Literal["wetting", "early-gas", "lull", "settling", "steady"]
PHASES: tuple[Phase, ...] = get_args(Phase)

USUAL_C = 21.0
"""A kitchen that was never told."""
OLDEST_DAYS = 36_500.0
_TEMPOS = 61
_SLOWEST = 0.02
"""In the cold the days stand almost still, but a wait has an end."""
LONGEST_WAIT_DAYS = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was seen ``age_days`` after the first mix, in days of a 22 °C kitchen (``ripe_days``)."""

    age_days: float
    signs: Signs


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseView:
    """``chances`` are in the order of ``PHASES`` and add up to 1.

    ``reliable_in_days`` are calendar days from now at the present warmth; 0 when it is there.
    """

    likely: Phase
    chances: tuple[float, ...]
    reliable_in_days: Spread

    def chance(self, phase: Phase) -> float:
        return self.chances[PHASES.index(phase)]


@dataclass(frozen=True, slots=True)
class _Book:
    ends: tuple[float, ...]
    pace: Mapping[str, float]
    signs: Mapping[str, Mapping[str, tuple[float, ...]]]


def speed(celsius: float) -> float:
    """How many days of a 22 °C kitchen one day at that warmth is worth.

    Of both organisms' growth, as both must come: 0.5 at 18 °C, 1.4 at 27 °C (F-069, from memory).
    Hotter than the yeast likes does not make the yeast come sooner.
    """

    def both(at_c: float) -> float:
        return math.sqrt(lab_per_h(at_c) * yeast_per_h(at_c))

    return max(_SLOWEST, both(celsius) / both(_book().pace["reference_c"]))


def ripe_days(stretches: Iterable[tuple[float, float]]) -> float:
    """Days of a 22 °C kitchen that these stretches of ``(days, celsius)`` add up to."""
    return sum(days * speed(celsius) for days, celsius in stretches)


def phase(
    *,
    age_days: float,
    celsius: float = USUAL_C,
    flours: tuple[Flour, ...] = ("white",),
    seen: Sequence[Seen] = (),
    ripe: float | None = None,
) -> PhaseView:
    """The phase ``age_days`` after the first mix.

    ``ripe`` is the age in days of a 22 °C kitchen when the warmth has changed (``ripe_days``); None
    takes ``celsius`` for the whole time. Raises InputError for a negative age.
    """
    if not (math.isfinite(age_days) and 0.0 <= age_days <= OLDEST_DAYS):
        raise InputError(f"age_days is {age_days:g}: it must be 0 to {OLDEST_DAYS:,.0f}")
    now_speed = speed(celsius)
    now = age_days * now_speed if ripe is None else ripe
    ends = _ends(flours)
    tempos, weights = _tempos(seen, ends)
    chances = [0.0] * len(PHASES)
    for tempo, weight in zip(tempos, weights, strict=True):
        chances[_phase_at(now / tempo, ends)] += weight
    waits = [max(0.0, tempo * ends[-1] - now) / now_speed for tempo in tempos]
    low, median, high = (
        min(LONGEST_WAIT_DAYS, _quantile(waits, weights, share)) for share in (LOW, MEDIAN, HIGH)
    )
    return PhaseView(
        likely=PHASES[max(range(len(PHASES)), key=lambda index: chances[index])],
        chances=tuple(chances),
        reliable_in_days=Spread(low=low, median=median, high=high),
    )


def phase_of(
    culture: Culture, now: datetime, *, kitchen_c: float | None = None
) -> PhaseView | None:
    """The phase of a culture of the fold, with the warmth and the signs that were told day by day.

    ``kitchen_c`` is the warmth before any was told. None before it is mixed.
    """
    if culture.started_at is None:
        return None
    started = culture.started_at
    ripe, at, warmth = 0.0, started, USUAL_C if kitchen_c is None else kitchen_c
    first = next((look.kitchen_c for look in culture.sightings if look.kitchen_c is not None), None)
    warmth = warmth if first is None else first
    seen: list[Seen] = []
    for look in culture.sightings:
        moment = min(max(look.at, at), max(now, at))
        ripe += ripe_days([((moment - at) / timedelta(days=1), warmth)])
        at, warmth = moment, warmth if look.kitchen_c is None else look.kitchen_c
        if started <= look.at <= now:
            seen.append(Seen(age_days=ripe, signs=look.signs))
    warmth = warmth if kitchen_c is None else kitchen_c
    ripe += ripe_days([(max(0.0, (now - at) / timedelta(days=1)), warmth)])
    return phase(
        age_days=max(0.0, (now - started) / timedelta(days=1)),
        celsius=warmth,
        flours=(culture.flour,),
        seen=seen,
        ripe=ripe,
    )


def _ends(flours: tuple[Flour, ...]) -> tuple[float, ...]:
    """When the phases end at a tempo of 1; wholegrain and rye bring the yeast sooner (F-070)."""
    book = _book()
    whole = sum(flour in ("wholewheat", "rye") for flour in flours) / len(flours)
    sooner = math.pow(book.pace["wholegrain"], whole)
    return (*book.ends[:2], *(end * sooner for end in book.ends[2:]))


def _tempos(seen: Sequence[Seen], ends: tuple[float, ...]) -> tuple[list[float], list[float]]:
    spread = _book().pace["spread"]
    tempos, logs = [], []
    for index in range(_TEMPOS):
        at = 3.5 * (2.0 * index / (_TEMPOS - 1) - 1.0)
        tempo = math.exp(spread * at)
        tempos.append(tempo)
        logs.append(
            -0.5 * at * at
            + sum(_fit(look.signs, _phase_at(look.age_days / tempo, ends)) for look in seen)
        )
    top = max(logs)
    raw = [math.exp(log - top) for log in logs]
    total = sum(raw)
    return tempos, [weight / total for weight in raw]


def _fit(signs: Signs, phase_index: int) -> float:
    """The log of how usual these signs are in that phase."""
    book = _book()
    doubt = book.pace["doubt"]
    total = 0.0
    for sign, value in _words(signs):
        usual = book.signs[sign]
        total += math.log((1.0 - doubt) * usual[value][phase_index] + doubt / len(usual))
    return total


def _words(signs: Signs) -> Iterable[tuple[str, str]]:
    if signs.bubbles is not None:
        yield "bubbles", signs.bubbles
    if signs.rise is not None and not (signs.rise.low <= 1.0 < signs.rise.high):
        middle = (signs.rise.low + signs.rise.high) / 2.0
        yield "rise", "none" if middle < 1.2 else "part" if middle < 1.9 else "doubled"
    for smell in signs.smell:
        yield "smell", smell


def _phase_at(age: float, ends: tuple[float, ...]) -> int:
    return sum(age >= end for end in ends)


def _quantile(values: Sequence[float], weights: Sequence[float], share: float) -> float:
    """``values`` rise with their index, as waits do with the tempo."""
    reached = 0.0
    for value, weight in zip(values, weights, strict=True):
        reached += weight
        if reached >= share:
            return value
    return values[-1]


@cache
def _book() -> _Book:
    page = table("phases.toml")
    try:
        return _Book(
            ends=tuple(float(page["ends"][name]["value"]) for name in PHASES[:-1]),
            pace=MappingProxyType(
                {name: float(entry["value"]) for name, entry in page["pace"].items()}
            ),
            signs=MappingProxyType(
                {
                    sign: MappingProxyType({word: _shares(row) for word, row in page[sign].items()})
                    for sign in ("bubbles", "rise", "smell")
                }
            ),
        )
    except (KeyError, TypeError, ValueError) as wrong:
        raise HandbookError(f"phases.toml: {wrong}") from wrong


def _shares(row: Sequence[float]) -> tuple[float, ...]:
    if len(row) != len(PHASES):
        raise ValueError(f"a sign wants {len(PHASES)} shares, one for each phase")
    return tuple(float(share) for share in row)
