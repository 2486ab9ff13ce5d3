"""The README's dialogue is what the bot says, word for word."""

from __future__ import annotations

import io
import json
import re
import textwrap
from datetime import datetime
from pathlib import Path

from bot.channels.terminal import day_and_hour
from bot.commands.replay import run

ROOT = Path(__file__).parents[2]
HISTORY = ROOT / "tests" / "histories" / "readme.jsonl"
COLUMNS = 88
LONGEST = 60


def spoken() -> list[tuple[str, str, str]]:
    """Who spoke, when and what, in the order of the clock; what was said comes before its reply."""
    told = HISTORY.read_text(encoding="utf-8")
    paper = io.StringIO()
    assert run(io.StringIO(told), paper) == 0
    answers = [json.loads(line) for line in paper.getvalue().splitlines()]
    said = [json.loads(line) for line in told.splitlines()]
    rows = [
        *((one["at"], 0, "You", one["text"]) for one in said if one.get("text")),
        *((one["at"], 1, "Jarside", one["text"]) for one in answers),
    ]
    return [(who, at, text) for at, _, who, text in sorted(rows, key=lambda row: row[:2])]


def dialogue() -> str:
    """The talk as the README shows it."""
    blocks = []
    for who, at, text in spoken():
        paragraphs = [textwrap.fill(line, COLUMNS) for line in text.split("\n")]
        body = textwrap.indent("\n".join(paragraphs), "  ")
        blocks.append(f"{who}, {day_and_hour(datetime.fromisoformat(at))}\n{body}")
    return "\n\n".join(blocks)


def test_the_readme_shows_a_real_dialogue() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")

    shown = re.search(r"^## A week with it\n\n.*?```text\n(.*?)\n```$", readme, re.M | re.S)

    assert shown is not None
    assert shown[1] == dialogue()


def test_the_dialogue_is_short() -> None:
    assert len(dialogue().splitlines()) <= LONGEST
