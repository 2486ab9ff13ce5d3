"""``jarside read``: JSON lines in, JSON lines out, one for one and in order."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from typing import Any

import pytest

from bot.commands.read import run

LINE = {"id": "r1", "text": "", "at": "2026-03-02T08:15:00+01:00", "units": "metric"}


def answers(*lines: str) -> list[dict[str, Any]]:
    out = io.StringIO()
    assert run(io.StringIO("\n".join(lines) + "\n"), out) == 0
    return [json.loads(line) for line in out.getvalue().splitlines()]


def line(**fields: object) -> str:
    return json.dumps({**LINE, **fields})


def test_a_reading_has_a_key_only_for_what_is_said() -> None:
    (answer,) = answers(line(text="doubled, lots of bubbles, 21C"))

    assert answer == {
        "id": "r1",
        "signs": {
            "rise": {"ratio": 2, "low": 2, "high": 2},
            "bubbles": "many",
            "temperature": {"celsius": 21.0, "of": "kitchen"},
        },
        "acts": [],
        "asks": [],
        "unread": [],
    }


def test_the_others_are_told_apart_by_name() -> None:
    (answer,) = answers(line(text="Ada floats, Bo is flat", cultures=["Ada", "Bo"]))

    assert answer["signs"] == {"floats": True}
    assert answer["others"] == {"Bo": {"signs": {"surface": "flat"}, "acts": []}}


@pytest.mark.parametrize(
    "broken",
    [
        "{",
        "null",
        "[1]",
        "3",
        '"text"',
        "{}",
        "\x00",
        "[" * 100_000,
        line(at="yesterday"),
        line(at="2026-03-02T08:15:00"),
        line(units="stone"),
        line(text=3),
        line(id=None),
        line(cultures="Bubbles"),
        line(at="9999-12-31T23:59:59-23:59"),
    ],
)
def test_a_line_of_another_form_is_answered_and_the_next_one_read(broken: str) -> None:
    first, second = answers(broken, line(text="it floats"))

    assert first["id"] in (None, "r1") and ("error" in first or "signs" in first)
    assert second["signs"] == {"floats": True}


def test_lone_surrogates_and_controls_do_not_break_the_output() -> None:
    (answer,) = answers(line(text="\ud800 doubled \u0000 \u202e"))

    assert answer["signs"]["rise"]["ratio"] == 2


def test_reading_loads_neither_the_database_nor_the_chat_library() -> None:
    code = (
        "import sys; import bot.commands.read; from bot.reading.lexicon import lexicon; lexicon();"
        "print([m for m in ('sqlmodel', 'telegram', 'apscheduler', 'sqlalchemy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"
