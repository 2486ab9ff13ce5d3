"""What a correction corrects, and what the corrected report then says."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import timedelta
from typing import Any

from bot.coach.draft import Draft
from bot.culture.journal import Entry, Reported
from bot.culture.state import Dossier
from bot.culture.vocabulary import Act, Signs
from bot.reading.reading import Reading

CORRECTABLE = timedelta(hours=36)
"""How old a report may be for "no, 24 not 34" to mean it."""


def report_of(dossier: Dossier, message: str) -> Entry | None:
    """The first report made of that message of the channel's."""
    for entry in dossier.journal:
        event = entry.event
        if isinstance(event, Reported) and event.message == message and event.replaces is None:
            return entry
    return None


def correctable(draft: Draft, key: str) -> Entry | None:
    """The latest report of that jar that said something, if it is recent."""
    for entry in reversed(draft.dossier.journal):
        if draft.at - entry.at > CORRECTABLE:
            return None
        event = entry.event
        if not isinstance(event, Reported) or entry.culture != key:
            continue
        if not event.signs.is_empty or event.acts:
            return entry
    return None


def amended(earlier: Entry, reading: Reading) -> Reading:
    """The earlier report with what the correction says in place of what it said."""
    before = earlier.event
    assert isinstance(before, Reported)
    return replace(
        reading,
        signs=replace(before.signs, **_told(reading.signs)),
        acts=_amended_acts(before.acts, reading.acts),
    )


def _amended_acts(before: tuple[Act, ...], after: tuple[Act, ...]) -> tuple[Act, ...]:
    """Acts of the same kind are corrected field by field; others stand beside."""
    merged: list[Act] = []
    corrections = {act.act: act for act in after}
    for act in before:
        fresh = corrections.pop(act.act, None)
        if fresh is None:
            merged.append(act)
            continue
        merged.append(replace(act, **_told(fresh)))
    return (*merged, *corrections.values())


def _told(value: Signs | Act) -> dict[str, Any]:
    """The fields that were said."""
    return {
        field.name: told
        for field in fields(value)
        if (told := getattr(value, field.name)) not in (None, ())
    }
