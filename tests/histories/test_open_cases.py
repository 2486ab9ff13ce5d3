"""The open case histories: what was concluded and said, and when the mornings came."""

from __future__ import annotations

import io

import pytest

from bot.commands.replay import run
from tests.histories.agreement import Case, cases, faults, faults_of_mornings, replayed

AGREED_AT_LEAST = 28
"""Of thirty, all safety ones among them."""


@pytest.fixture(scope="module")
def rows() -> dict[str, list]:  # type: ignore[type-arg]
    return {case.name: replayed(case) for case in cases()}


def test_the_coach_agrees_with_the_open_cases(rows: dict) -> None:  # type: ignore[type-arg]
    wrong = {case.name: found for case in cases() if (found := faults(case, rows[case.name]))}

    assert len(rows) - len(wrong) >= AGREED_AT_LEAST, wrong
    assert not [case.name for case in cases() if case.is_safety and case.name in wrong]


@pytest.mark.parametrize("case", cases(), ids=lambda case: case.name)
def test_the_mornings_of_an_open_case_come_at_the_right_local_times(case: Case, rows: dict) -> None:  # type: ignore[type-arg]
    assert faults_of_mornings(case, rows[case.name]) == []


def test_the_same_history_gives_the_same_bytes() -> None:
    (case,) = [case for case in cases() if case.name == "024"]

    first, second = io.StringIO(), io.StringIO()
    run(io.StringIO(case.lines), first)
    run(io.StringIO(case.lines), second)

    assert first.getvalue() == second.getvalue() != ""
