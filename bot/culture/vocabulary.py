"""What can be observed of a culture, done to it and asked about it: the contract's words as types.

Every closed list of words lives here and nowhere else. ``None`` means *not said*, never *no*.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal, TypeAlias

from bot.culture.quantities import Range

Units: TypeAlias = Literal["metric", "us"]
Surface: TypeAlias = Literal["domed", "flat", "fallen"]
Bubbles: TypeAlias = Literal["none", "few", "some", "many"]
Place: TypeAlias = Literal["kitchen", "starter", "water", "fridge"]
Smell: TypeAlias = Literal[
    "none", "floury", "sweet", "yeasty", "sour", "alcohol", "solvent", "cheesy", "rotten"
]
Streak: TypeAlias = Literal["pink", "orange", "red"]
LiquidColour: TypeAlias = Literal["clear", "amber", "grey", "black"]
LiquidWhere: TypeAlias = Literal["top", "middle", "bottom"]
Texture: TypeAlias = Literal["runny", "thick", "stretchy", "spongy", "lumpy"]
Flour: TypeAlias = Literal["white", "bread", "wholewheat", "rye", "spelt", "other"]
Spot: TypeAlias = Literal["fridge", "counter", "warm", "cool"]
Verdict: TypeAlias = Literal["on-track", "adjust", "discard", "ready", "ask"]
Ask: TypeAlias = Literal[
    "normal", "next", "ready", "alive", "keep", "slow", "flour", "water", "warmth", "amounts",
    "jar", "timing", "missed", "cold", "liquid", "smell", "growth", "discard", "bake", "safety",
    "other",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Rise:
    """Height over the height just after the feed: 1.0 no rise, 2.0 doubled; low..high holds it."""

    ratio: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperature:
    celsius: float
    of: Place = "kitchen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Liquid:
    present: bool
    colour: LiquidColour | None = None
    where: LiquidWhere | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Signs:
    """What the writer observed of their own culture, now. An absent sign is None or empty."""

    rise: Rise | None = None
    hours: float | None = None
    surface: Surface | None = None
    bubbles: Bubbles | None = None
    temperature: Temperature | None = None
    smell: tuple[Smell, ...] = ()
    liquid: Liquid | None = None
    mould: bool | None = None
    streak: Streak | Literal[False] | None = None
    film: bool | None = None
    crust: bool | None = None
    texture: tuple[Texture, ...] = ()
    floats: bool | None = None
    pests: bool | None = None

    @property
    def is_empty(self) -> bool:
        return self == NO_SIGNS


NO_SIGNS = Signs()

Ratio: TypeAlias = tuple[float, float, float]
"""Starter, flour, water by weight, as told: (1, 2, 2)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed:
    """A feed. Masses in grams; a kitchen measure is a range."""

    at: datetime | None = None
    ratio: Ratio | None = None
    starter_g: Range | None = None
    flour_g: Range | None = None
    water_g: Range | None = None
    flours: tuple[Flour, ...] = ()
    act: Literal["fed"] = "fed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Started:
    """The very first mix; the same fields as a feed."""

    at: datetime | None = None
    ratio: Ratio | None = None
    starter_g: Range | None = None
    flour_g: Range | None = None
    water_g: Range | None = None
    flours: tuple[Flour, ...] = ()
    act: Literal["started"] = "started"


@dataclass(frozen=True, slots=True, kw_only=True)
class Discarded:
    """Some was taken out: grams, or the share (0..1) of what was there."""

    grams: Range | None = None
    share: float | None = None
    act: Literal["discarded"] = "discarded"


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    to: Spot
    act: Literal["moved"] = "moved"


@dataclass(frozen=True, slots=True, kw_only=True)
class Skipped:
    feeds: float | None = None
    days: float | None = None
    act: Literal["skipped"] = "skipped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stirred:
    act: Literal["stirred"] = "stirred"


@dataclass(frozen=True, slots=True, kw_only=True)
class Baked:
    act: Literal["baked"] = "baked"


@dataclass(frozen=True, slots=True, kw_only=True)
class Binned:
    """The whole culture was thrown away."""

    act: Literal["binned"] = "binned"


Act: TypeAlias = Fed | Started | Discarded | Moved | Skipped | Stirred | Baked | Binned
