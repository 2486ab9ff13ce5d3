"""How a person at the terminal moves the clock on, in words."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.channels.moves import is_next_morning, move_asked


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("+8h", 8),
        ("+ 8 hours", 8),
        ("+2d", 48),
        ("+1 week", 168),
        ("+90m", 1.5),
        ("+1d 4h", 28),
        ("+1d+4h", 28),
        ("+1.5h", 1.5),
        (" +8H ", 8),
    ],
)
def test_a_move_is_asked_for_with_a_plus_and_a_unit(text: str, hours: float) -> None:
    assert move_asked(text) == timedelta(hours=hours)


@pytest.mark.parametrize(
    "text",
    ["", "+", "+1", "+05:30", "+80%", "8h", "+8 hens", "+0h", "rose +2 cm", "+1 month", "+2d ago"],
)
def test_anything_else_is_said_to_the_bot(text: str) -> None:
    assert move_asked(text) is None


def test_next_morning_is_asked_for_in_words() -> None:
    assert is_next_morning("Next morning.")
    assert not is_next_morning("next morning I fed it")
