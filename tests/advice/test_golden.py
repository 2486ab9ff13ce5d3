"""Three whole weeks as they read from first to last: a cold kitchen, a warm one, a neglected jar.

After a change that is meant: ``python -m tests.advice.test_golden`` writes them anew; read them aloud.
"""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from bot.commands.replay import run

GOLDEN = Path(__file__).parent / "golden"
WEEKS = ("cold_kitchen", "warm_kitchen", "neglected")


def told(week: str) -> str:
    """The whole week as a person reads it: what they wrote, and what came back."""
    source = (GOLDEN / f"{week}.jsonl").read_text(encoding="utf-8")
    rows = io.StringIO()
    run(io.StringIO(source), rows)
    lines = [
        (row["at"][:16], "they write", row["text"])
        for row in map(json.loads, source.splitlines())
        if "text" in row
    ]
    for row in map(json.loads, rows.getvalue().splitlines()):
        verdict = f", {row['verdict']}" if row["verdict"] else ""
        rules = f" ({', '.join(row['rules'])})" if row["rules"] else ""
        lines.append((row["at"][:16], f"{row['kind']}{verdict}{rules}", row["text"]))
    lines.sort(key=lambda line: (line[0], line[1] != "they write"))
    return "\n".join(f"-- {at} {what}\n{text}\n" for at, what, text in lines)


@pytest.mark.parametrize("week", WEEKS)
def test_a_week_reads_as_it_did_when_it_was_last_read_aloud(week: str) -> None:
    assert told(week) == (GOLDEN / f"{week}.txt").read_text(encoding="utf-8")


if __name__ == "__main__":
    for name in WEEKS:
        (GOLDEN / f"{name}.txt").write_text(told(name), encoding="utf-8")
