"""The budget's arithmetic: even slots, never more than the rate, nothing lost to a late loop."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from bot.delivery.pace import AHEAD, EVENNESS, Gate, backoff, slots
from tests.post import MONDAY, SECOND


def test_slots_are_evenly_spaced() -> None:
    given_slots, free_at = slots(free_at=MONDAY, now=MONDAY, want=3, per_second=20 / EVENNESS)

    assert [slot - MONDAY for slot in given_slots] == [0.05 * n * SECOND for n in range(3)]
    assert free_at == MONDAY + 0.15 * SECOND


def test_no_slot_is_given_far_ahead() -> None:
    given_slots, _ = slots(free_at=MONDAY, now=MONDAY, want=1000, per_second=30)

    assert given_slots[-1] <= MONDAY + AHEAD


def test_time_that_went_by_unused_is_not_made_up_for() -> None:
    given_slots, _ = slots(
        free_at=MONDAY - 60 * SECOND, now=MONDAY, want=2, per_second=10 / EVENNESS
    )

    assert [slot - MONDAY for slot in given_slots] == [timedelta(0), 0.1 * SECOND]


def test_without_a_rate_everything_leaves_now() -> None:
    assert slots(free_at=MONDAY, now=MONDAY, want=3, per_second=None)[0] == [MONDAY] * 3


@given(
    st.lists(st.tuples(st.integers(0, 700), st.integers(1, 40)), min_size=1, max_size=40),
    st.sampled_from([1.0, 7.0, 29.7, 30.0]),
)
def test_no_second_ever_holds_more_than_the_rate(asked: list[tuple[int, int]], rate: float) -> None:
    now, free_at, sent = MONDAY, MONDAY, []
    for wait_ms, want in asked:
        now += timedelta(milliseconds=wait_ms)
        given_slots, free_at = slots(free_at=free_at, now=now, want=want, per_second=rate)
        sent += given_slots

    for start in sent:
        assert sum(start <= slot < start + SECOND for slot in sent) <= rate + 1


@given(st.integers(1, 1000), st.floats(0, 1))
def test_a_wait_after_failures_doubles_up_to_five_minutes(tries: int, luck: float) -> None:
    whole = min(300.0, 2.0 ** (tries - 1)) if tries < 20 else 300.0

    assert timedelta(seconds=whole / 2) <= backoff(tries, luck=luck) <= timedelta(seconds=whole)


@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(0, 400)), min_size=30, max_size=120),
    st.integers(1, 20),
)
def test_the_gate_keeps_every_second_of_the_service_within_the_limit(
    travels: list[tuple[int, int]], limit: int
) -> None:
    """Whatever the messages were late by on the way (each takes 20 ms there and back at least)."""
    gate, now, counted = Gate(limit), MONDAY, []
    for idle_ms, late_ms in [(0, 0), *travels]:
        now = max(now + timedelta(milliseconds=idle_ms), gate.opens_at() or MONDAY)
        ended = gate.start(now)
        counted.append(now + timedelta(milliseconds=10 + late_ms))
        ended(now + timedelta(milliseconds=20 + late_ms))

    for start in counted:
        assert sum(start <= at < start + SECOND for at in counted) <= limit


def test_a_steady_way_costs_nothing_of_the_rate() -> None:
    gate, now = Gate(10), MONDAY
    for _ in range(100):
        now = max(now, gate.opens_at() or MONDAY)
        gate.start(now)(now + timedelta(milliseconds=100))

    assert now - MONDAY == 9 * SECOND


def test_without_a_limit_the_gate_is_open() -> None:
    gate = Gate(0)
    gate.start(MONDAY)

    assert gate.opens_at() is None
