"""A clock that a person moves on, and that never jumps by itself."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from bot.channels.movable_clock import MovableClock, is_next_morning, move_asked

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


class Counter:
    seconds = 1000.0

    def __call__(self) -> float:
        return self.seconds


def test_it_runs_at_the_pace_of_the_real_one() -> None:
    counter = Counter()
    clock = MovableClock(NOON, counter)

    counter.seconds += 90

    assert clock.now() == NOON + timedelta(seconds=90)


def test_it_moves_on_and_runs_on_from_there() -> None:
    counter = Counter()
    clock = MovableClock(NOON, counter)

    clock.move_to(NOON + timedelta(hours=8))
    counter.seconds += 1

    assert clock.now() == NOON + timedelta(hours=8, seconds=1)


def test_it_never_goes_back() -> None:
    clock = MovableClock(NOON, Counter())

    clock.move_to(NOON - timedelta(hours=1))

    assert clock.now() == NOON


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
