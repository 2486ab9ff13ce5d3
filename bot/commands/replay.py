"""``jarside replay``: a whole history with its own clock, through the same core as everything else."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from datetime import datetime, time
from pathlib import Path
from typing import Annotated, TextIO

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from bot.charts import FOLDER as PICTURES
from bot.charts import write_picture
from bot.coach import hear, next_prompt_at, speak
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
from bot.culture.vocabulary import Flour, Units
from bot.errors import InputError
from bot.plan.zones import zone_info
from bot.turn import Said, Turn
from bot.voice.message import Message

METHOD = "full"


class Jar(BaseModel):
    model_config = ConfigDict(extra="ignore")
    name: str = "Starter"
    flour: Flour = "white"
    started: AwareDatetime | None = None


class Profile(BaseModel):
    model_config = ConfigDict(extra="ignore")
    zone: str = "UTC"
    units: Units = "metric"
    kitchen_c: float | None = None
    flour: Flour = "white"
    name: str = "Starter"
    prompt_at: Annotated[str, Field(pattern=r"^\d\d:\d\d$")] = "08:00"
    started: AwareDatetime | None = None
    cultures: list[Jar] | None = None


class ProfileLine(BaseModel):
    model_config = ConfigDict(extra="ignore")
    profile: Profile


class TextLine(BaseModel):
    model_config = ConfigDict(extra="ignore")
    at: AwareDatetime
    text: str | None


_LINE: TypeAdapter[ProfileLine | TextLine] = TypeAdapter(ProfileLine | TextLine)


def run(stdin: TextIO, stdout: TextIO, *, folder: Path | None = None) -> int:
    """Read lines, write rows, return the exit code. Raises InputError for a line of another form.

    Pictures are written into ``folder`` (None: "pictures" in this user's data folder); rows name the
    files without it, so that they are the same on every machine.
    """
    easel = Easel(folder)
    profile: Profile | None = None
    history: History | None = None
    for number, line in enumerate(stdin, 1):
        if not line.strip():
            continue
        match _parsed(line, number):
            case ProfileLine(profile=told):
                if profile is not None or history is not None:
                    raise InputError(f"line {number}: a profile can only come first")
                profile = told
            case TextLine(at=at, text=text):
                if history is None:
                    history = History.beginning(profile, at, easel)
                if at < history.clock:
                    raise InputError(f"line {number}: the time goes back")
                for row in history.until(at):
                    stdout.write(row)
                if text is not None:
                    for row in history.hear(Said(text=text, at=at, message=f"replay:{number}")):
                        stdout.write(row)
    return 0


class History:
    """One person's life so far, and the clock it has reached."""

    def __init__(self, dossier: Dossier, clock: datetime, easel: Easel) -> None:
        self.dossier = dossier
        self.clock = clock
        self._easel = easel

    @classmethod
    def beginning(cls, profile: Profile | None, first_at: datetime, easel: Easel) -> History:
        """Set up from the profile, before any word: the clock starts at the earliest first mix."""
        jars = [] if profile is None else _jars(profile)
        clock = min([jar.started for jar in jars if jar.started is not None], default=first_at)
        clock = min(clock, first_at)
        events = [] if profile is None else _set_up(profile, jars)
        entries = [
            Entry(number=number, at=clock, event=event, culture=key)
            for number, (event, key) in enumerate(events, 1)
        ]
        return cls(extend(Dossier(person_key="replay"), entries), clock, easel)

    def until(self, at: datetime) -> Iterator[str]:
        """Let the time pass: what falls due is said at its own moment."""
        while (due := next_prompt_at(self.dossier, self.clock)) is not None and due <= at:
            turn = speak(self.dossier, due)
            self.clock = max(self.clock, due)
            if turn is None:
                break
            yield from self._keep(turn, due)
        self.clock = at

    def hear(self, said: Said) -> Iterator[str]:
        yield from self._keep(hear(self.dossier, said), said.at)

    def _keep(self, turn: Turn, at: datetime) -> Iterator[str]:
        self.dossier = extend(self.dossier, turn.entries)
        zone = self.dossier.person.zone
        local = at if zone is None else at.astimezone(zone_info(zone))
        for message in turn.messages:
            pictures = self._easel.painted(message)
            yield json.dumps(_row(message, local, pictures), ensure_ascii=False) + "\n"


class Easel:
    """Paints the pictures of messages into a folder; where it cannot, says so once and goes on."""

    def __init__(self, folder: Path | None) -> None:
        self._folder = folder
        self._complained = False

    def painted(self, message: Message) -> list[str]:
        """The names of the files written."""
        if message.chart is None:
            return []
        folder = self._folder or _usual_folder()
        try:
            return [write_picture(message.chart, folder).name]
        except OSError as wrong:
            if not self._complained:
                self._complained = True
                sys.stderr.write(f"pictures cannot be written to {folder}: {wrong.strerror}\n")
            return []


def _usual_folder() -> Path:
    # Settings take a tenth of a second to load, and most histories have no picture.
    from bot.settings import data_folder

    return data_folder() / PICTURES


def _parsed(line: str, number: int) -> ProfileLine | TextLine:
    try:
        return _LINE.validate_json(line)
    except ValidationError:
        raise InputError(
            f'line {number}: wants {{"profile": {{...}}}} or {{"at": "2026-03-03T08:20:00+01:00", "text": "..."}}'
        ) from None


def _jars(profile: Profile) -> list[Jar]:
    if profile.cultures is not None:
        return profile.cultures
    if profile.started is None:
        return []
    return [Jar(name=profile.name, flour=profile.flour, started=profile.started)]


def _set_up(profile: Profile, jars: list[Jar]) -> list[tuple[Event, str | None]]:
    zone_info(profile.zone)
    hour, minute = profile.prompt_at.split(":")
    events: list[tuple[Event, str | None]] = [
        (ZoneSet(zone=profile.zone), None),
        (UnitsSet(units=profile.units), None),
        (KitchenSet(celsius=profile.kitchen_c), None),
        (FlourSet(flour=profile.flour), None),
        (MorningsSet(at=time(int(hour), int(minute))), None),
    ]
    for index, jar in enumerate(jars, 1):
        began = Began(name=jar.name, flour=jar.flour, method=METHOD, started_at=jar.started)
        events.append((began, f"c{index}"))
    return events


def _row(message: Message, at: datetime, pictures: list[str]) -> dict[str, object]:
    return {
        "at": at.isoformat(),
        "kind": message.kind,
        "text": message.plain,
        "verdict": message.verdict,
        "rules": list(message.rules),
        "pictures": pictures,
    }
