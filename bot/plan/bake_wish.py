"""A bake that is wished for, and what comes of it: a plan, or why there is none."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal, TypeAlias

from bot.culture.curve import Feeding, check_hydration
from bot.culture.feeds import Portions, checked_g
from bot.culture.vocabulary import Flour
from bot.errors import InputError
from bot.plan.ripening import TimeSpread
from bot.plan.timeline import Kitchen

Why: TypeAlias = Literal["too-soon", "asleep", "too-little"]
"""Why it cannot be: no build is ripe that soon, nobody is up to mix it, or more builds are needed than
there is time for."""

DEFAULT_LEAD = timedelta(days=3)
_LONGEST_LEAD = timedelta(days=14)


@dataclass(frozen=True, slots=True, kw_only=True)
class BakeWish:
    """``levain_g`` at ``hydration``, ripe at ``ripe_at``, out of ``have_g`` of starter.

    ``earliest`` is the first moment anything can be mixed, None three days before. The clock of the
    waking hours is that of ``ripe_at``'s zone. Raises InputError for what cannot be.
    """

    ripe_at: datetime
    levain_g: float
    have_g: float
    kitchen: Kitchen
    hydration: float = 1.0
    hydration_in: float = 1.0
    earliest: datetime | None = None
    flours: tuple[Flour, ...] = ("white",)

    def __post_init__(self) -> None:
        checked_g(self.levain_g, "levain_g")
        checked_g(self.have_g, "have_g")
        check_hydration(self.hydration)
        check_hydration(self.hydration_in, "hydration_in")
        for celsius in (self.kitchen.celsius, self.kitchen.night_c):
            if celsius is not None:
                Feeding(ratio=(1.0, 1.0, 1.0), celsius=celsius)
        if self.ripe_at.tzinfo is None or (self.earliest and self.earliest.tzinfo is None):
            raise InputError("ripe_at and from need an offset from UTC")
        if self.earliest is not None and self.earliest >= self.ripe_at:
            raise InputError("from is not before ripe_at: there is no time left to mix anything")

    @property
    def first(self) -> datetime:
        if self.earliest is None:
            return self.ripe_at - DEFAULT_LEAD
        return max(self.earliest, self.ripe_at - _LONGEST_LEAD)


@dataclass(frozen=True, slots=True, kw_only=True)
class BakeStep:
    """Mix this at ``at``; it is ripe in the spread ``ready``. ``levain`` is the last, ``build`` a seed for it."""

    at: datetime
    do: Literal["build", "levain"]
    portions: Portions
    ready: TimeSpread


@dataclass(frozen=True, slots=True, kw_only=True)
class BakePlan:
    steps: tuple[BakeStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CannotBake:
    """``nearest`` is the time closest to the one wanted that can be met, None when there is none within a week."""

    why: Why
    nearest: datetime | None
