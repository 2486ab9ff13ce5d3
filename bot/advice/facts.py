"""What a rule may ask for. Rules compare; whatever needs arithmetic or history is a fact here.

``None`` is unknown and never means no. The loader takes names, sorts and words from these hints.
"""

from __future__ import annotations

import types
from dataclasses import dataclass, fields
from functools import cache
from typing import Literal, TypeAlias, Union, get_args, get_origin, get_type_hints

from bot.advice.conditions import Sort, Value
from bot.culture.quantities import Range
from bot.culture.vocabulary import (
    Ask,
    Bubbles,
    Flour,
    LiquidColour,
    LiquidWhere,
    Smell,
    Spot,
    Streak,
    Surface,
    Texture,
)
from bot.reading.reading import Doubt

Danger: TypeAlias = Literal["none", "mould", "streak", "rotten", "pests"]
Done: TypeAlias = Literal[
    "fed", "started", "discarded", "moved", "skipped", "stirred", "baked", "binned"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Everything known of the jar at the moment of one message."""

    has_jar: bool = False
    """The person grows a culture with us; no: a passer-by with a question."""
    mixed: bool | None = None
    """The first mix was made."""
    day: float | None = None
    """Day of the culture; day 1 is the local calendar day of the first mix (common practice)."""
    age: float | None = None
    """The day as a 24 °C kitchen would count it: cold stretches it, warmth shortens it (F-069)."""
    told: bool = False
    """This message says how the jar looks or smells, or what was done to it."""
    kitchen_c: float | None = None
    """The kitchen's warmth, last told."""
    starter_c: float | None = None
    """The culture's own warmth, in this message."""
    warmth_c: float | None = None
    """The best guess of what the culture stands in: starter, spot or kitchen, in that order."""
    water_c: float | None = None
    """Warmth of the water of a feed, in this message."""
    heat_told: bool = False
    """This message tells the kitchen's or the culture's warmth."""

    rise: Range | None = None
    """Height over the height after the feed, in this message."""
    hours: float | None = None
    """Hours from the feed to that rise, told or counted from the last feed in the journal."""
    rise_in_time: bool | None = None
    """A doubling (1.5 for rye) within the hours this warmth allows (F-191)."""
    quiet: bool | None = None
    """Hardly any life to be seen: few bubbles or none, no rise to speak of."""
    lively: bool | None = None
    """Some or many bubbles, or grown by half and more."""
    quiet_long: bool = False
    """Quiet on an earlier day too, or said to have been so for long ("still nothing", "day 12")."""
    surface: Surface | None = None
    bubbles: Bubbles | None = None
    smell: tuple[Smell, ...] | None = None
    liquid: bool | None = None
    liquid_colour: LiquidColour | None = None
    liquid_where: LiquidWhere | None = None
    mould: bool | None = None
    streak: Literal["none"] | Streak | None = None
    film: bool | None = None
    film_before: bool = False
    """A flat film was reported on an earlier day too."""
    crust: bool | None = None
    texture: tuple[Texture, ...] | None = None
    floats: bool | None = None
    pests: bool | None = None
    danger_now: Danger = "none"
    """The gravest danger sign of this message; rotten counts from day 5 or when the day is unknown."""

    done: tuple[Done, ...] = ()
    """What the writer did, in this message."""
    moved_to: Spot | None = None
    feed_wetness: float | None = None
    """Water over flour, by weight, of the feed told of; the two are equal at 1.0."""
    feed_size: float | None = None
    """Flour over old starter, by weight, of the feed told of; 1:2:2 is 2.0."""
    flour: Flour | None = None
    """What it is fed: told now, else at the last feed, else at the start."""
    hours_since_feed: float | None = None
    days_since_feed: float | None = None
    feeds_today: int = 0
    """Feeds of the same local day, this message's too."""
    spot: Spot | None = None
    days_in_fridge: float | None = None
    """Days since it went into the fridge; None when it is not there."""
    skipped_days: float | None = None
    """Days without food: told, or counted from the journal when the message speaks of missing."""

    doubles_in_a_row: int = 0
    """Doublings in time at the last feeds, the newest included."""
    gate: bool | None = None
    """Enough doublings in a row, late enough, for a first bake (F-190); None: no jar of ours."""
    was_ready: bool = False
    """The gate was reached on an earlier day."""
    rose_before: bool = False
    """It grew by half or more on an earlier day."""
    danger_before: Danger = "none"
    """A danger sign of an earlier message, with the same jar still standing."""
    fresh_look: bool | None = None
    """After an earlier danger, this message says outright that the sign is absent."""
    at_odds: bool = False
    """The message contradicts itself: doubled, yet no bubbles and flat since the feed."""
    overheated: bool | None = None
    """The culture or its water was above 45 °C."""

    is_question: bool = False
    """The message asks something, whatever it also tells."""
    asks: tuple[Ask, ...] = ()
    topics: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True)
class FactSort:
    """How a fact may be compared, and the words it can take (None: any word)."""

    sort: Sort
    words: frozenset[str] | None


@cache
def fact_sorts() -> dict[str, FactSort]:
    """Every fact by name, from the type hints above."""
    return {name: _sort(hint) for name, hint in get_type_hints(Facts).items()}


def value(facts: Facts, name: str) -> Value:
    """The fact of that name. AttributeError: no such fact."""
    found: Value = getattr(facts, name)
    return found


def known(facts: Facts) -> tuple[str, ...]:
    """The names of the facts that are known, in the order above."""
    return tuple(item.name for item in fields(facts) if value(facts, item.name) is not None)


def _sort(hint: object) -> FactSort:
    parts = _parts(hint)
    if bool in parts:
        return FactSort("yes-no", None)
    if float in parts or int in parts or Range in parts:
        return FactSort("number", None)
    words: set[str] = set()
    many = False
    for part in parts:
        if get_origin(part) is tuple:
            many = True
            inner = _parts(get_args(part)[0])
            if str in inner:
                return FactSort("words", None)
            words |= {word for item in inner for word in get_args(item)}
        else:
            words |= set(get_args(part))
    return FactSort("words" if many else "word", frozenset(words))


def _parts(hint: object) -> tuple[object, ...]:
    """The members of a union, None left out, unions within it opened."""
    if get_origin(hint) in (Union, types.UnionType):
        return tuple(
            part for arg in get_args(hint) if arg is not type(None) for part in _parts(arg)
        )
    return (hint,)
