"""What a person may want of the bot itself: stop, pause, another hour, another zone, help."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from typing import Literal, TypeAlias

from bot.culture.vocabulary import Flour, Units


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """No messages that were not asked for."""

    wish: Literal["stop"] = "stop"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pause:
    """No mornings until that local date; None: until told to go on."""

    until: date | None
    wish: Literal["pause"] = "pause"


@dataclass(frozen=True, slots=True, kw_only=True)
class Resume:
    wish: Literal["resume"] = "resume"


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningsAt:
    """Mornings at another hour; None: the person wants another and did not say which."""

    at: time | None
    wish: Literal["mornings-at"] = "mornings-at"


@dataclass(frozen=True, slots=True, kw_only=True)
class InZone:
    """The person is elsewhere. ``zone`` as ``zone_info`` takes it; ``until`` if they said so.

    ``zone`` None: the place is not known (``place`` holds their word for it).
    """

    zone: str | None
    place: str
    until: date | None = None
    wish: Literal["in-zone"] = "in-zone"


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """The reasons of the last answer, please."""

    wish: Literal["why"] = "why"


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """What do I do today?"""

    wish: Literal["today"] = "today"


@dataclass(frozen=True, slots=True, kw_only=True)
class Show:
    """The week as a picture: of the jar of that name, or of every jar when none was named."""

    name: str | None = None
    dark: bool = False
    wish: Literal["show"] = "show"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowPhotos:
    """Their own photos by day: of the jar of that name, or of every jar when none was named."""

    name: str | None = None
    wish: Literal["show-photos"] = "show-photos"


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    wish: Literal["help"] = "help"


@dataclass(frozen=True, slots=True, kw_only=True)
class Begin:
    """A new culture, with its name if one was said."""

    name: str | None = None
    wish: Literal["begin"] = "begin"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rename:
    """``old`` None: the only one, or the one last spoken of. ``new`` None: not said yet."""

    new: str | None
    old: str | None = None
    wish: Literal["rename"] = "rename"


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitsWish:
    units: Units
    wish: Literal["units"] = "units"


@dataclass(frozen=True, slots=True, kw_only=True)
class FlourWish:
    """The flour they will use from now on, said as a setting ("/flour rye")."""

    flour: Flour
    wish: Literal["flour"] = "flour"


@dataclass(frozen=True, slots=True, kw_only=True)
class Skip:
    """Leave that question ("skip", "don't know", "never mind")."""

    wish: Literal["skip"] = "skip"


@dataclass(frozen=True, slots=True, kw_only=True)
class JarIs:
    """The jar holds so many millilitres."""

    jar_ml: float
    wish: Literal["jar-is"] = "jar-is"


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodWish:
    """The id of a method in the handbook: "the thrifty one please"."""

    method: str
    wish: Literal["method"] = "method"


@dataclass(frozen=True, slots=True, kw_only=True)
class Yes:
    wish: Literal["yes"] = "yes"


@dataclass(frozen=True, slots=True, kw_only=True)
class No:
    wish: Literal["no"] = "no"


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """They did what was asked of them last: mixed it, or fed it."""

    wish: Literal["done"] = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """Nobody is at home until that local date, the day they are back."""

    until: date
    wish: Literal["away"] = "away"


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """A part of the culture becomes a jar of its own; its name if one was said."""

    name: str | None = None
    wish: Literal["split"] = "split"


@dataclass(frozen=True, slots=True, kw_only=True)
class Retire:
    """No more of that jar; ``name`` None: the only one, or the one last spoken of."""

    name: str | None = None
    wish: Literal["retire"] = "retire"


@dataclass(frozen=True, slots=True, kw_only=True)
class AskAtPeak:
    wish: Literal["ask-at-peak"] = "ask-at-peak"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choose:
    """What a ready culture does now. Of one that is not ready, the same words are a report."""

    choice: Literal["bake", "rest", "counter"]
    wish: Literal["choose"] = "choose"


@dataclass(frozen=True, slots=True, kw_only=True)
class CountFlour:
    """How much flour has it taken so far?"""

    wish: Literal["count-flour"] = "count-flour"


@dataclass(frozen=True, slots=True, kw_only=True)
class Thanks:
    """They are glad; nothing is wanted."""

    wish: Literal["thanks"] = "thanks"


Wish: TypeAlias = (
    Stop | Pause | Resume | MorningsAt | InZone | Why | Today | Help | Begin | Rename | UnitsWish
    | FlourWish | Skip | JarIs | MethodWish | Show | ShowPhotos | Yes | No | Done | Away | Split | Retire | AskAtPeak | Choose | CountFlour | Thanks
)  # fmt: skip
