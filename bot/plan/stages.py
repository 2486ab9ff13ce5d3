"""What a day brings to one culture: the method's day, fitted to this jar and this kitchen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal, TypeAlias

from bot.culture.state import Culture, Dossier

Warmth: TypeAlias = Literal["unknown", "very-cold", "cold", "mild", "warm", "hot"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeding:
    """What to do at a feed, in grams."""

    keep_g: float
    keep_words: str
    flour_g: float
    water_g: float

    @property
    def total_g(self) -> float:
        return self.keep_g + self.flour_g + self.water_g


@dataclass(frozen=True, slots=True, kw_only=True)
class JarWarning:
    """At the rise to be expected the jar runs over: it holds ``jar_ml``, ``needed_ml`` is wanted."""

    jar_ml: float
    needed_ml: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningPlan:
    """One culture's day. ``feeding`` None: nothing to feed now (fed already, or in the fridge)."""

    culture: str
    name: str
    local_day: date
    day: int
    """Day 1 is the local day of the first mix."""
    phase: str
    feeding: Feeding | None
    already_fed_today: bool
    missed_days: int
    """Local days since the last feed, less one; 0 when nothing was missed."""
    in_fridge: bool
    warmth: Warmth
    kitchen_c: float | None
    look_for: str
    normal: str
    note: str
    discard_is_food: bool
    jar: JarWarning | None
    is_gate: bool
    """The seventh day."""


def morning_plan(dossier: Dossier, culture: Culture, local_day: date, now: datetime) -> MorningPlan:
    """The plan of ``local_day`` for a culture that was mixed; ValueError for one that was not."""
    raise NotImplementedError
