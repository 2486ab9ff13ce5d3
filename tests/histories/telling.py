"""A replayed history as a person reads it: what they wrote, and what came back."""

from __future__ import annotations

import io
import json
from pathlib import Path

from bot.commands.replay import run


def told(history: Path) -> str:
    source = history.read_text(encoding="utf-8")
    rows = io.StringIO()
    run(io.StringIO(source), rows)
    lines = [
        (row["at"][:16], "they write", row["text"])
        for row in map(json.loads, source.splitlines())
        if row.get("text") is not None
    ]
    for row in map(json.loads, rows.getvalue().splitlines()):
        verdict = f", {row['verdict']}" if row["verdict"] else ""
        rules = f" ({', '.join(row['rules'])})" if row["rules"] else ""
        lines.append((row["at"][:16], f"{row['kind']}{verdict}{rules}", row["text"]))
    lines.sort(key=lambda line: (line[0], line[1] != "they write"))
    return "\n".join(f"-- {at} {what}\n{text}\n" for at, what, text in lines)
