"""The journal: everything that ever happened between a person and the bot, one entry after another.

It is append-only. A person's and a culture's state are folds over it (``state.py``); a correction is
one more entry that names the entry it replaces.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Literal, TypeAlias

from bot.culture.vocabulary import NO_SIGNS, Act, Ask, Flour, Signs, Units, Verdict

Question: TypeAlias = Literal[
    "flour", "kitchen", "units", "mornings", "zone", "name", "which-culture"
]
"""What the bot may be waiting to be told: the first questions, and whose jar a message is about."""

PromptKind: TypeAlias = Literal["morning", "kind-line", "peak-check", "reminder", "weekly"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneSet:
    zone: str
    """An IANA key ("Europe/Oslo") or a fixed offset ("+05:30")."""
    until: date | None = None
    """The last local day away; None: for good."""
    kind: Literal["zone-set"] = "zone-set"


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitsSet:
    units: Units
    kind: Literal["units-set"] = "units-set"


@dataclass(frozen=True, slots=True, kw_only=True)
class KitchenSet:
    """The kitchen's usual warmth; None when the person does not know."""

    celsius: float | None
    kind: Literal["kitchen-set"] = "kitchen-set"


@dataclass(frozen=True, slots=True, kw_only=True)
class FlourSet:
    """The flour the person has at hand: the default of a culture that begins later."""

    flour: Flour
    kind: Literal["flour-set"] = "flour-set"


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningsSet:
    at: time
    """Wall-clock time in the person's zone, without a zone of its own."""
    kind: Literal["mornings-set"] = "mornings-set"


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionAsked:
    question: Question
    kind: Literal["question-asked"] = "question-asked"


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionClosed:
    """Answered or set aside: the bot no longer waits for it."""

    question: Question
    kind: Literal["question-closed"] = "question-closed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Paused:
    """No mornings until that local date; None: until told to go on."""

    until: date | None
    kind: Literal["paused"] = "paused"


@dataclass(frozen=True, slots=True, kw_only=True)
class Resumed:
    kind: Literal["resumed"] = "resumed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped:
    """The person wants no messages that they did not ask for."""

    kind: Literal["stopped"] = "stopped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Prompted:
    """The bot spoke first. ``local_day`` is the day in the person's zone that it spoke for."""

    prompt: PromptKind
    local_day: date
    kind: Literal["prompted"] = "prompted"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrote:
    """The person wrote or tapped something, whatever it was: ends a silence."""

    kind: Literal["wrote"] = "wrote"


@dataclass(frozen=True, slots=True, kw_only=True)
class Began:
    """A culture joins the person's shelf. ``started_at`` is its first mix, None before it is mixed."""

    name: str
    flour: Flour
    method: str
    """The id of a method in the handbook."""
    started_at: datetime | None = None
    jar_ml: float | None = None
    kind: Literal["began"] = "began"


@dataclass(frozen=True, slots=True, kw_only=True)
class Renamed:
    name: str
    kind: Literal["renamed"] = "renamed"


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodChosen:
    method: str
    kind: Literal["method-chosen"] = "method-chosen"


@dataclass(frozen=True, slots=True, kw_only=True)
class JarSet:
    jar_ml: float
    kind: Literal["jar-set"] = "jar-set"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reported:
    """What one message said of one culture.

    ``message`` is the channel's own key of the message, so that an edit finds it. ``replaces`` is
    the number of an earlier entry that this one corrects: the earlier one no longer counts.
    """

    text: str
    signs: Signs = NO_SIGNS
    acts: tuple[Act, ...] = ()
    asks: tuple[Ask, ...] = ()
    message: str | None = None
    replaces: int | None = None
    kind: Literal["reported"] = "reported"


@dataclass(frozen=True, slots=True, kw_only=True)
class Concluded:
    """What the bot answered: kept so that "why?" can be answered and a danger is not forgotten."""

    verdict: Verdict | None
    rules: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    """The facts the rules used, already in words."""
    kind: Literal["concluded"] = "concluded"


@dataclass(frozen=True, slots=True, kw_only=True)
class NextChosen:
    """At the gate: what a ready culture does now."""

    choice: Literal["bake", "rest", "counter"]
    kind: Literal["next-chosen"] = "next-chosen"


@dataclass(frozen=True, slots=True, kw_only=True)
class PeakCheckSet:
    """The person wishes to be asked, at that instant, how high the last feed has risen."""

    at: datetime
    kind: Literal["peak-check-set"] = "peak-check-set"


@dataclass(frozen=True, slots=True, kw_only=True)
class BakeStage:
    """One thing to do for a planned bake: mix these grams at ``at``; it is ripe at ``ripe_at``."""

    at: datetime
    starter_g: float
    flour_g: float
    water_g: float
    ripe_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class BakePlanned:
    """A bake was planned, or planned anew. ``agreed``: the person wants to be reminded of it."""

    stages: tuple[BakeStage, ...]
    agreed: bool = False
    kind: Literal["bake-planned"] = "bake-planned"


@dataclass(frozen=True, slots=True, kw_only=True)
class BakeDropped:
    kind: Literal["bake-dropped"] = "bake-dropped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Photographed:
    """A photo for the diary, sent at ``sent_at``. The picture stays with the messaging service:
    ``file`` is its name there, ``album`` the name of several that were sent together.

    An entry without a culture waits to be told whose photo it is.
    """

    file: str
    sent_at: datetime
    album: str | None = None
    kind: Literal["photographed"] = "photographed"


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotosDropped:
    """Photos that do not belong into the diary after all, by the numbers of their entries."""

    numbers: tuple[int, ...]
    kind: Literal["photos-dropped"] = "photos-dropped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    reason: Literal["binned", "retired"]
    kind: Literal["ended"] = "ended"


Event: TypeAlias = (
    ZoneSet | UnitsSet | KitchenSet | FlourSet | MorningsSet | QuestionAsked | QuestionClosed
    | Paused | Resumed | Stopped | Prompted | Wrote | Began | Renamed | MethodChosen | JarSet
    | Reported | Concluded | NextChosen | PeakCheckSet | BakePlanned | BakeDropped
    | Photographed | PhotosDropped | Ended
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of a person's journal.

    ``number`` counts from 1 without gaps within one person. ``culture`` is the culture's key within
    that person ("c1", "c2", ...), None when the event is about the person. Raises ValueError for a
    time without a zone.
    """

    number: int
    at: datetime
    event: Event = field()
    culture: str | None = None

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise ValueError("an entry needs a time with a zone")
