"""The colours of a picture in the light and in the dark.

Chosen so that text stands out at 4.5 to 1 and every mark at 3 to 1 (WCAG 2.2, 1.4.3 and 1.4.11), and
so that what was expected, what was seen, the warmth and an alarm stay apart for eyes that see no red,
no green or no blue. Nothing is told by colour alone: each has a form or a word of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """Colours as ``#rrggbb``. ``phases`` are grounds for text in ``ink``, by the phase's word."""

    paper: str
    column: str
    """Every other day's ground."""
    ink: str
    muted: str
    grid: str
    expected: str
    expected_line: str
    seen: str
    warmth: str
    cold: str
    alarm: str
    phases: Mapping[str, str]


LIGHT = Palette(
    paper="#fcfaf5",
    column="#f4f0e6",
    ink="#26221c",
    muted="#645b4f",
    grid="#d5cdbd",
    expected="#b9d3ea",
    expected_line="#2d6ca8",
    seen="#6b2f00",
    warmth="#937100",
    cold="#d9e4ea",
    alarm="#c40058",
    phases=MappingProxyType(
        {
            "wetting": "#e6dfd0",
            "early-gas": "#f2d9b8",
            "lull": "#d6dbe0",
            "settling": "#dfe8b8",
            "steady": "#b3dcc0",
        }
    ),
)

DARK = Palette(
    paper="#15181c",
    column="#1c2026",
    ink="#f3efe7",
    muted="#b0a99c",
    grid="#3a4048",
    expected="#24476a",
    expected_line="#6fb1ee",
    seen="#ffa64d",
    warmth="#f2e9a0",
    cold="#2a3a44",
    alarm="#ff5c8a",
    phases=MappingProxyType(
        {
            "wetting": "#3a362d",
            "early-gas": "#54401f",
            "lull": "#343c46",
            "settling": "#4a4d1e",
            "steady": "#1d5a44",
        }
    ),
)


def luminance(colour: str) -> float:
    """Relative luminance 0..1 of ``#rrggbb`` (WCAG 2.2)."""
    linear = (_linear(int(colour[at : at + 2], 16) / 255.0) for at in (1, 3, 5))
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours, 1..21 (WCAG 2.2)."""
    bright, dim = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)
