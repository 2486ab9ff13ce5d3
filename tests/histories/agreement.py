"""How far the bot agrees with labelled case histories and messages.

A case is ``NNN.jsonl`` (lines of ``replay``) and its entry in ``expect.json``: ``verdict`` (a list,
null allowed), ``must`` (groups of patterns, one of each group is to be found in the last answer),
``must_not`` (none may be), and ``prompts`` (what the mornings must do). The last answer is all that is
said from the person's last message on.

    python -m tests.histories.agreement     print the agreement with the open examples
"""

from __future__ import annotations

import io
import json
import re
import sys
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from bot.commands.replay import run
from tests.reading.scoring import main as score_messages

OPEN = Path(__file__).parent / "open"
MESSAGES = Path(__file__).parents[1] / "reading" / "open.jsonl"
_PLAIN = str.maketrans({"\u2019": "'", "\u2018": "'", "\u201c": '"', "\u201d": '"', "\u00d7": "x"})

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Case:
    name: str
    lines: str
    expect: Json

    @property
    def is_safety(self) -> bool:
        return bool(self.expect.get("safety"))

    @property
    def zone(self) -> ZoneInfo:
        rows = map(json.loads, self.lines.splitlines())
        return ZoneInfo(next((row["profile"]["zone"] for row in rows if "profile" in row), "UTC"))


def cases(folder: Path = OPEN) -> list[Case]:
    expect = json.loads((folder / "expect.json").read_text(encoding="utf-8"))
    return [
        Case(name, (folder / f"{name}.jsonl").read_text(encoding="utf-8"), wanted)
        for name, wanted in sorted(expect.items())
    ]


def replayed(case: Case) -> list[Json]:
    paper = io.StringIO()
    run(io.StringIO(case.lines), paper)
    return [json.loads(line) for line in paper.getvalue().splitlines()]


def faults(case: Case, rows: list[Json]) -> list[str]:
    """What is wrong with the last answer and with the mornings; nothing when all agrees."""
    return [*_faults_of_answer(case, rows), *faults_of_mornings(case, rows)]


def faults_of_mornings(case: Case, rows: list[Json]) -> list[str]:
    told = case.expect.get("prompts") or []
    wanted = [told] if isinstance(told, dict) else told
    prompts = [
        (datetime.fromisoformat(row["at"]).astimezone(case.zone).replace(tzinfo=None), row["text"])
        for row in rows
        if row["kind"] == "prompt"
    ]
    return [fault for one in wanted for fault in _faults_of_prompts(one, prompts)]


def _faults_of_answer(case: Case, rows: list[Json]) -> Iterator[str]:
    said = [row for row in map(json.loads, case.lines.splitlines()) if row.get("text") is not None]
    since = datetime.fromisoformat(said[-1]["at"])
    last = [r for r in rows if r["kind"] == "reply" and datetime.fromisoformat(r["at"]) >= since]
    text = _plain("\n\n".join(row["text"] for row in last))
    verdicts = [row["verdict"] for row in last if row["verdict"] is not None]
    verdict = verdicts[-1] if verdicts else None
    if not text.strip():
        yield "no answer"
        return
    if verdict not in case.expect["verdict"]:
        yield f"verdict {verdict}, wanted one of {case.expect['verdict']}"
    for group in case.expect["must"]:
        if not any(_found(pattern, text) for pattern in group):
            yield f"must say one of {group}"[:200]
    for pattern in case.expect["must_not"]:
        if _found(pattern, text):
            yield f"must not say {pattern[:120]}"


def _faults_of_prompts(wanted: Json, prompts: list[tuple[datetime, str]]) -> Iterator[str]:
    if "on" in wanted:
        there = [text for at, text in prompts if at.date().isoformat() == wanted["on"]]
        if not any(
            all(any(_found(p, t) for p in g) for g in wanted.get("must", [])) for t in there
        ):
            yield f"no fitting prompt on {wanted['on']}"
    if "count" in wanted:
        rule = wanted["count"]
        count = len([at for at, _ in prompts if _within(at, rule)])
        low, high = rule.get("n", rule.get("min", 0)), rule.get("n", rule.get("max", 10**9))
        if not low <= count <= high:
            yield f"{count} prompts from {rule['from']} to {rule['to']}"
    if "daily" in wanted:
        rule = wanted["daily"]
        day, end = date.fromisoformat(rule["from"]), date.fromisoformat(rule["to"])
        while day <= end:
            hours = [at.strftime("%H:%M") for at, _ in prompts if at.date() == day]
            if hours.count(rule["at"]) != rule.get("n", 1):
                yield f"on {day} prompts at {hours}, wanted {rule['at']}"
            day += timedelta(days=1)
    if "each" in wanted:
        rule = wanted["each"]
        for at, text in prompts:
            if _within(at, rule) and any(_found(p, _plain(text)) for p in rule["must_not"]):
                yield f"the prompt of {at} says what it must not"


def _within(at: datetime, rule: Json) -> bool:
    low = datetime.fromisoformat(rule["from"])
    high = datetime.fromisoformat(rule["to"])
    if "T" not in rule["to"]:
        high += timedelta(days=1, microseconds=-1)
    return low <= at <= high


def _plain(text: str) -> str:
    return re.sub(r"[ \t]+", " ", unicodedata.normalize("NFKC", text).translate(_PLAIN))


def _found(pattern: str, text: str) -> bool:
    return re.search(pattern, text, re.IGNORECASE | re.DOTALL) is not None


def main() -> int:
    """Print both agreements; nothing here is a verdict."""
    found = {case.name: faults(case, replayed(case)) for case in cases()}
    safety = [case.name for case in cases() if case.is_safety]
    agreed = [name for name, wrong in found.items() if not wrong]
    safe = [name for name in safety if name in agreed]
    sys.stdout.write(
        f"case histories  {len(agreed)} of {len(found)} agree,"
        f" safety {len(safe)} of {len(safety)}\n"
    )
    for name, wrong in found.items():
        for fault in wrong:
            sys.stdout.write(f"  {name}: {fault}\n")
    score_messages([str(MESSAGES)])
    return 0


if __name__ == "__main__":
    sys.exit(main())
