"""The labelled corpora, as floors: they hold what was measured, so that no change loses it unseen.

``open.jsonl`` is the open sample; ``corpus/*_sitting.jsonl`` are our own messages, written before the
reader met them; ``corpus/locked.jsonl`` is looked at in numbers only, never message by message.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from scoring import load, score

HERE = Path(__file__).parent


def test_the_open_sample_is_read_to_its_thresholds() -> None:
    result = score(load(HERE / "open.jsonl"))

    assert result.total.f1 >= 0.97
    assert result.exact >= 0.90
    assert result.danger.recall == 1.0
    assert result.danger.precision >= 0.97


@pytest.mark.parametrize(
    ("name", "f1", "exact"),
    [
        ("first_sitting", 0.98, 0.97),
        ("second_sitting", 0.96, 0.94),
        ("third_sitting", 0.97, 0.95),
        ("fourth_sitting", 0.95, 0.93),
        ("fifth_sitting", 0.89, 0.87),
        ("sixth_sitting", 0.93, 0.90),
        ("seventh_sitting", 0.95, 0.93),
        ("eighth_sitting", 0.96, 0.95),
        ("ninth_sitting", 0.95, 0.93),
        ("tenth_sitting", 0.96, 0.95),
        ("eleventh_sitting", 0.93, 0.87),
        ("signs_sitting", 0.95, 0.92),
        ("signs_locked", 0.86, 0.82),
        ("locked", 0.95, 0.93),
    ],
)
def test_our_own_messages_are_read_as_well_as_measured(name: str, f1: float, exact: float) -> None:
    result = score(load(HERE / "corpus" / f"{name}.jsonl"))

    assert result.total.f1 >= f1
    assert result.exact >= exact
    assert result.danger.recall >= 0.97


def test_there_are_four_hundred_messages_and_a_fifth_of_them_is_locked() -> None:
    sizes = {one.stem: len(load(one)) for one in (HERE / "corpus").glob("*.jsonl")}

    assert sum(sizes.values()) >= 400
    assert sum(size for name, size in sizes.items() if "locked" in name) >= 80
