"""A first week from hello to the gate, and a year with two jars, as they read from first to last.

After a change that is meant: ``python -m tests.histories.test_years`` writes them anew; read them aloud.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.histories.telling import told

HERE = Path(__file__).parent
HISTORIES = ("first_week", "year")


@pytest.mark.parametrize("name", HISTORIES)
def test_a_history_reads_as_it_did_when_it_was_last_read_aloud(name: str) -> None:
    assert told(HERE / f"{name}.jsonl") == (HERE / f"{name}.txt").read_text(encoding="utf-8")


if __name__ == "__main__":
    for one in HISTORIES:
        (HERE / f"{one}.txt").write_text(told(HERE / f"{one}.jsonl"), encoding="utf-8")
