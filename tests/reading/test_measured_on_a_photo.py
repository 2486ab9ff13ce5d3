"""Two heights measured on a picture of the jar tell its rise, within known errors.

The camera is the pinhole of the textbooks (Hartley and Zisserman, "Multiple View Geometry in Computer
Vision", 2nd edition, 2004, chapter 6). The jar is upright, and its heights are taken at the front of
the glass. Measures are rounded to whole millimetres, as on a ruler held to a screen.
"""

from __future__ import annotations

import math
from datetime import UTC, datetime
from random import Random

import pytest

from bot.reading.reader import read

BASE_CM = 4.0
"""The height of the fed jar."""
ON_SCREEN_MM = 110.0
"""A jar of 14 cm fills so much of a phone's screen."""


def height_on_picture(height_cm: float, *, eye_cm: float, away_cm: float, down: float) -> float:
    """Where a point of the glass's front stands in the picture, in any unit, up being more.

    The eye is ``eye_cm`` above the jar's bottom, ``away_cm`` before the glass, and looks ``down`` by
    that angle (radians).
    """
    up = height_cm - eye_cm
    forward = away_cm * math.cos(down) - up * math.sin(down)
    return (away_cm * math.sin(down) + up * math.cos(down)) / forward


def told(rise: float, *, eye_cm: float, away_cm: float, down_degrees: float) -> float | None:
    """The rise that is read from what somebody measures on that picture and sends."""

    def on_picture(height_cm: float) -> float:
        down = math.radians(down_degrees)
        return height_on_picture(height_cm, eye_cm=eye_cm, away_cm=away_cm, down=down)

    to_mm = ON_SCREEN_MM / (on_picture(14.0) - on_picture(0.0))
    mark, top = (
        round((on_picture(height_cm) - on_picture(0.0)) * to_mm)
        for height_cm in (BASE_CM, BASE_CM * rise)
    )
    read_of_it = read(
        f"from {mark} to {top} mm", at=datetime(2026, 3, 8, tzinfo=UTC), units="metric"
    )
    return None if read_of_it.signs.rise is None else read_of_it.signs.rise.ratio


@pytest.mark.parametrize(
    ("down_degrees", "eye_cm", "too_low", "too_high"),
    [
        pytest.param((-5, 5), (3, 9), -0.04, 0.04, id="level with the jar"),
        pytest.param((5, 25), (10, 30), -0.03, 0.13, id="held above it"),
    ],
)
def test_a_rise_measured_on_a_picture_is_the_rise_of_the_jar(
    down_degrees: tuple[float, float], eye_cm: tuple[float, float], too_low: float, too_high: float
) -> None:
    chance = Random(7)

    for _ in range(150):
        rise = chance.uniform(1.3, 3.0)
        measured = told(
            rise,
            eye_cm=chance.uniform(*eye_cm),
            away_cm=chance.uniform(25, 60),
            down_degrees=chance.uniform(*down_degrees),
        )
        assert measured is not None
        assert too_low <= measured / rise - 1.0 <= too_high, (rise, measured)
