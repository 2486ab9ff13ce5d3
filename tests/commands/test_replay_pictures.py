"""Pictures in a replay: written to files, named in the rows, the same every time."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from bot.commands.replay import run

WEEK = [
    {
        "profile": {
            "zone": "Europe/Oslo", "kitchen_c": 21, "name": "Biscuit",
            "started": "2026-03-02T09:00:00+01:00",
        }
    },
    {"at": "2026-03-03T08:20:00+01:00", "text": "no bubbles yet, fed it, 21C"},
    {"at": "2026-03-04T08:20:00+01:00", "text": "show me the week please"},
]  # fmt: skip


def replayed(folder: Path) -> list[dict[str, object]]:
    told = io.StringIO()
    assert run(io.StringIO("\n".join(map(json.dumps, WEEK))), told, folder=folder) == 0
    return [json.loads(line) for line in told.getvalue().splitlines()]


def test_a_week_that_is_asked_for_is_painted_into_a_file_that_the_row_names(
    tmp_path: Path,
) -> None:
    last = replayed(tmp_path)[-1]

    assert last["pictures"] == ["week-c1-2026-03-04-0820.png"]
    assert [file.name for file in tmp_path.iterdir()] == last["pictures"]
    assert "Biscuit’s week" in str(last["text"])
    assert "Days 1 to 7" in str(last["text"])


def test_a_second_replay_says_and_paints_the_same(tmp_path: Path) -> None:
    first, second = tmp_path / "first", tmp_path / "second"

    assert replayed(first) == replayed(second)
    (one,), (other,) = first.iterdir(), second.iterdir()
    assert one.read_bytes() == other.read_bytes()


def test_a_folder_that_cannot_be_written_costs_the_picture_and_not_the_history(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file where the folder should be")

    assert replayed(taken)[-1]["pictures"] == []
    assert capsys.readouterr().err.count("pictures cannot be written") == 1
