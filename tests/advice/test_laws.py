"""The laws of every reply, on random histories: the short form of ``python -m tests.advice.laws``."""

from __future__ import annotations

import statistics

from tests.advice.laws import LONGEST, MEDIAN, run

HISTORIES = 200


def test_the_laws_hold_on_random_histories() -> None:
    """Danger ends in discard or ask; ready never before the gate; a next step; never too long."""
    found = run(HISTORIES)

    assert found.broken == []
    assert max(found.lengths) <= LONGEST
    assert statistics.median(found.lengths) < MEDIAN
    assert {"discard", "ask", "adjust", "on-track"} <= set(found.verdicts)
