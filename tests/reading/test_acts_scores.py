"""Messages of feeds, masses, times and hours, labelled before the reader met them, as floors.

The locked halves are looked at in numbers only, never message by message.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from scoring import load, score

CORPUS = Path(__file__).parent / "corpus"


@pytest.mark.parametrize(
    ("name", "f1", "exact"),
    [
        ("acts_sitting", 0.98, 0.96),
        ("acts_locked", 0.97, 0.95),
        ("acts_second_sitting", 0.97, 0.94),
        ("acts_second_locked", 0.91, 0.83),
        ("acts_third_sitting", 0.97, 0.95),
    ],
)
def test_what_was_done_and_when_is_read_as_well_as_measured(
    name: str, f1: float, exact: float
) -> None:
    result = score(load(CORPUS / f"{name}.jsonl"))

    assert result.total.f1 >= f1
    assert result.exact >= exact
