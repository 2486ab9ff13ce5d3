"""Case histories: what was told over some days, and what a good coach concludes and says."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from bot.coach import hear
from bot.culture.fold import extend
from bot.culture.journal import (
    Began,
    Entry,
    Event,
    FlourSet,
    KitchenSet,
    MorningsSet,
    UnitsSet,
    ZoneSet,
)
from bot.culture.state import Dossier
from bot.turn import Said
from bot.voice.message import Message

FOLDER = Path(__file__).parent / "histories"
ZONE = ZoneInfo("Europe/Oslo")
STARTED = datetime(2026, 3, 2, 8, 0, tzinfo=ZONE)


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """One case. ``day`` is the day of the last message; ``earlier`` what was told on days before."""

    title: str
    text: str
    verdict: tuple[str | None, ...]
    must: tuple[str, ...]
    source: str
    never: tuple[str, ...] = ()
    day: int | None = None
    kitchen_c: float | None = 21
    flour: str = "white"
    units: str = "metric"
    at: str = "08:10"
    earlier: dict[int, str] = field(default_factory=dict)
    passer_by: bool = False
    safety: bool = False


def histories() -> Iterator[History]:
    for file in sorted(FOLDER.glob("*.toml")):
        for case in tomllib.loads(file.read_text(encoding="utf-8"))["case"]:
            verdicts = tuple(None if word == "none" else word for word in case.pop("verdict"))
            earlier = {int(day): text for day, text in case.pop("earlier", {}).items()}
            lists = {name: tuple(case.pop(name, ())) for name in ("must", "never")}
            yield History(verdict=verdicts, earlier=earlier, **lists, **case)


def last_replies(history: History) -> tuple[Message, ...]:
    """What the coach says to the last message, after hearing all before it."""
    dossier = Dossier(person_key="case")
    if not history.passer_by:
        dossier = extend(dossier, _set_up(history))
        for day, text in sorted(history.earlier.items()):
            turn = hear(dossier, Said(text=text, at=_on(day, "08:10"), message=f"m{day}"))
            dossier = extend(dossier, turn.entries)
    turn = hear(dossier, Said(text=history.text, at=_on(history.day or 1, history.at), message="m"))
    return turn.messages


def _on(day: int, clock: str) -> datetime:
    return datetime.combine(
        STARTED.date() + timedelta(days=day - 1), time.fromisoformat(clock), ZONE
    )


def _set_up(history: History) -> list[Entry]:
    began = Began(name="Biscuit", flour=history.flour, method="full", started_at=STARTED)  # type: ignore[arg-type]
    events: list[tuple[Event, str | None]] = [
        (ZoneSet(zone="Europe/Oslo"), None),
        (UnitsSet(units=history.units), None),  # type: ignore[arg-type]
        (KitchenSet(celsius=history.kitchen_c), None),
        (FlourSet(flour=history.flour), None),  # type: ignore[arg-type]
        (MorningsSet(at=time(8)), None),
        (began, "c1"),
    ]
    return [
        Entry(number=number, at=STARTED, event=event, culture=culture)
        for number, (event, culture) in enumerate(events, 1)
    ]
