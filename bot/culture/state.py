"""The state of a person and their cultures: values, made by the fold (``fold.py``)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Literal, TypeAlias

from bot.culture.journal import (
    BakeStage,
    Entry,
    NextChosen,
    Question,
)
from bot.culture.vocabulary import (
    Act,
    Fed,
    Flour,
    Signs,
    Spot,
    Started,
    Units,
    Verdict,
)

Rest: TypeAlias = Literal["none", "paused", "stopped"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Who we are talking with. None: never told."""

    zone: str | None = None
    home_zone: str | None = None
    """Where the person comes back to; None while they are at home."""
    away_until: date | None = None
    """The last local day away."""
    units: Units | None = None
    kitchen_c: float | None = None
    kitchen_since: datetime | None = None
    kitchen_told: bool = False
    """True also after "don't know"."""
    flour: Flour | None = None
    morning_at: time | None = None
    waiting_for: Question | None = None
    rest: Rest = "none"
    paused_until: date | None = None
    silent_mornings: int = 0
    """Mornings sent since the person last wrote."""
    last_wrote_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """Something done to the culture, at the moment it was done (or told, when not said)."""

    at: datetime
    told_at: datetime
    act: Act
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """What was seen, at the moment it was written."""

    at: datetime
    signs: Signs
    kitchen_c: float | None
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Conclusion:
    at: datetime
    verdict: Verdict | None
    rules: tuple[str, ...]
    facts: tuple[str, ...]
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bake:
    """A planned bake. ``reminded`` counts the reminders sent: one for each stage, one when ripe."""

    stages: tuple[BakeStage, ...]
    agreed: bool
    reminded: int = 0

    @property
    def ripe_at(self) -> datetime:
        return self.stages[-1].ripe_at

    @property
    def next_reminder_at(self) -> datetime | None:
        """None: not wished for, or all were sent."""
        instants = (*(stage.at for stage in self.stages), self.ripe_at)
        if not self.agreed or self.reminded >= len(instants):
            return None
        return instants[self.reminded]


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A photo in the diary. ``file`` is the messaging service's name of it."""

    at: datetime
    file: str
    number: int
    album: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Culture:
    """One jar. Deeds, sightings, conclusions and photos are in the order of the journal."""

    key: str
    name: str
    flour: Flour
    method: str
    began_at: datetime
    started_at: datetime | None = None
    """The first mix; None before it was mixed."""
    jar_ml: float | None = None
    spot: Spot = "counter"
    spot_since: datetime | None = None
    starter_c: float | None = None
    deeds: tuple[Deed, ...] = ()
    sightings: tuple[Sighting, ...] = ()
    conclusions: tuple[Conclusion, ...] = ()
    photos: tuple[Photo, ...] = ()
    mornings: tuple[date, ...] = ()
    """Local days for which a morning was sent."""
    peak_check_at: datetime | None = None
    """When the person wishes to be asked how high it stands."""
    bake: Bake | None = None
    chosen: NextChosen | None = None
    chosen_at: datetime | None = None
    ended: Literal["binned", "retired"] | None = None
    ended_at: datetime | None = None

    @property
    def feeds(self) -> tuple[Deed, ...]:
        """Feeds and the first mix, oldest first, by the time they were done."""
        fed = (deed for deed in self.deeds if isinstance(deed.act, Fed | Started))
        return tuple(sorted(fed, key=lambda deed: (deed.at, deed.number)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Dossier:
    """All that is known of one person: the answer to every question the core asks of the past."""

    person_key: str
    person: Person = Person()
    cultures: tuple[Culture, ...] = ()
    journal: tuple[Entry, ...] = ()
    """Everything, as written, oldest first."""

    @property
    def last_number(self) -> int:
        return self.journal[-1].number if self.journal else 0

    @property
    def living(self) -> tuple[Culture, ...]:
        return tuple(culture for culture in self.cultures if culture.ended is None)

    def culture(self, key: str) -> Culture:
        """The culture with that key; KeyError when there is none."""
        for culture in self.cultures:
            if culture.key == key:
                return culture
        raise KeyError(key)


def day_of(culture: Culture, local_day: date, started_local_day: date) -> int:
    """Day 1 is the local calendar day of the first mix (common practice, no source)."""
    return (local_day - started_local_day).days + 1
