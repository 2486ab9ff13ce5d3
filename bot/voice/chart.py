"""What a picture shows: every value and every word of it, ready to be painted by the shell.

Times are hours since the left edge of the picture, so that a chart is the same in every zone and
survives being written down as JSON. Heights are ratios to the height at the feed: 2.0 is doubled.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

Symbol: TypeAlias = Literal["feed", "bubbles", "dot", "alarm", "loaf", "word"]
"""``bubbles`` has a level 0 (none) to 3 (many); ``word`` is drawn as its word alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayColumn:
    """One local day: a column of the picture. ``number`` is the culture's day, ``name`` the weekday."""

    from_h: float
    to_h: float
    number: str
    name: str
    is_today: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseSpan:
    """A stretch of one phase. ``label`` is used where it has room, else ``short``, else neither."""

    from_h: float
    to_h: float
    phase: str
    label: str
    short: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedPoint:
    """The heights to expect at that hour: ``low..high`` holds four of five."""

    at_h: float
    low: float
    high: float
    median: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What was expected of one feed, from the feed to the next."""

    points: tuple[ExpectedPoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Risen:
    """What was seen of one feed: ``low..high`` is the report's own doubt.

    ``since_h`` is the feed when the height was reached at some hour between it and ``at_h``; None
    when it was reached at ``at_h``.
    """

    at_h: float
    ratio: float
    low: float
    high: float
    since_h: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """A stretch in the fridge."""

    from_h: float
    to_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Warmth:
    """The kitchen's warmth as told: it holds until the next. ``label`` is in the person's units."""

    from_h: float
    to_h: float
    celsius: float
    label: str
    is_told: bool = True
    """Told at ``from_h``; false where a warmth told earlier goes on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One thing reported or done."""

    at_h: float
    symbol: Symbol
    level: int = 0
    word: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One row of marks of a kind, with its name at the left."""

    label: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A height worth a line across the picture, with its name at the left."""

    ratio: float
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """The words that every picture needs, in the person's language."""

    phase: str = ""
    day: str = ""
    warmth: str = ""
    warmth_unknown: str = ""
    expected: str = ""
    seen: str = ""
    nothing_seen: str = ""
    now: str = ""
    fridge: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A picture asked for by the core, painted by the shell; ``alt`` says the same in words.

    ``name`` is the stem of a file name: lower-case ASCII letters, digits and hyphens, the same for
    the same culture and week.
    """

    name: str
    culture: str
    alt: str
    dark: bool = False
    title: str = ""
    subtitle: str = ""
    span_h: float = 168.0
    now_h: float | None = None
    days: tuple[DayColumn, ...] = ()
    phases: tuple[PhaseSpan, ...] = ()
    levels: tuple[Level, ...] = ()
    expected: tuple[Expected, ...] = ()
    risen: tuple[Risen, ...] = ()
    stays: tuple[Stay, ...] = ()
    warmth: tuple[Warmth, ...] = ()
    lanes: tuple[Lane, ...] = ()
    wording: Wording = Wording()
