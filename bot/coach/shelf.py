"""Which jar a message is about."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TypeAlias

from bot.coach.draft import Draft
from bot.culture.journal import Entry, Photographed, QuestionClosed, Reported
from bot.culture.state import Culture, Dossier
from bot.reading.phrasebook import phrasebook
from bot.reading.reading import Reading

STILL_TALKING = timedelta(hours=2)
"""How long a message without a name still belongs to the jar last spoken of."""


@dataclass(frozen=True, slots=True)
class Unclear:
    """There are several jars and nothing in the message says which."""

    jars: tuple[Culture, ...]


@dataclass(frozen=True, slots=True)
class Everyone:
    """The message is about all of them ("fed both")."""

    jars: tuple[Culture, ...]


Addressed: TypeAlias = Culture | Everyone | Unclear | None


def addressed(dossier: Dossier, text: str, reading: Reading, at: datetime) -> Addressed:
    """The jar or jars a message is about; None when the person has none."""
    living = dossier.living
    if len(living) > 1 and reading.about is None and phrasebook().everyone.search(text):
        return Everyone(living)
    named = [jar for jar in living if jar.name == reading.about]
    if named:
        return named[0]
    if len(living) <= 1:
        return living[0] if living else None
    recent = last_spoken_of(dossier, since=at - STILL_TALKING)
    if recent is not None:
        return recent
    if reading.signs.is_empty and not reading.acts:
        # A question asked with several jars on the shelf is answered for the one last spoken of.
        return last_spoken_of(dossier) or living[0]
    return Unclear(living)


def last_spoken_of(dossier: Dossier, since: datetime | None = None) -> Culture | None:
    """The living jar of the latest report or photo, of those not older than ``since``."""
    living = {jar.key: jar for jar in dossier.living}
    for entry in reversed(dossier.journal):
        if since is not None and entry.at < since:
            return None
        if isinstance(entry.event, Reported | Photographed) and entry.culture in living:
            return living[entry.culture]
    return None


def waiting_for_a_jar(dossier: Dossier) -> tuple[Entry, ...]:
    """Reports and photos of which it was asked whose they are, and not told yet."""
    found: list[Entry] = []
    for entry in reversed(dossier.journal):
        event = entry.event
        if isinstance(event, QuestionClosed) and event.question == "which-culture":
            break
        if isinstance(event, Reported | Photographed) and entry.culture is None:
            found.append(entry)
    return tuple(reversed(found))


def named(dossier: Dossier, name: str) -> Culture | None:
    """The living jar of that name, whatever its capitals."""
    wanted = name.casefold()
    return next((jar for jar in dossier.living if jar.name.casefold() == wanted), None)


def new_key(dossier: Dossier) -> str:
    """The key of the next culture: c1, c2, ..."""
    return f"c{len(dossier.cultures) + 1}"


def free_name(dossier: Dossier, wanted: str) -> str:
    """The name itself, or with the first number that no living jar of that name bears."""
    name, number = wanted, 2
    while named(dossier, name) is not None:
        name, number = f"{wanted} {number}", number + 1
    return name


def spoken_to(dossier: Dossier, text: str) -> tuple[Culture | None, str]:
    """The jar that a message opens with ("Ember: bake now"), and the rest; None and all of it else."""
    said = text.strip()
    for jar in dossier.living:
        if said.casefold().startswith(jar.name.casefold()):
            rest = said[len(jar.name) :]
            if rest[:1] in (":", ","):
                return jar, rest[1:].strip()
    return None, text


def meant(draft: Draft) -> Culture | None:
    """The jar a wish is about: the one it opened with, the only one, or the one last spoken of."""
    living = draft.dossier.living
    if draft.spoken_to is not None:
        return draft.dossier.culture(draft.spoken_to)
    if not living:
        return None
    return living[0] if len(living) == 1 else last_spoken_of(draft.dossier) or living[-1]


def was_ready(jar: Culture) -> bool:
    """Whether it has ever been found ready."""
    return any(said.verdict == "ready" for said in jar.conclusions)


def may_choose(jar: Culture) -> bool:
    """Whether it is ready and its keeper has not said what comes next."""
    return jar.chosen is None and was_ready(jar)
