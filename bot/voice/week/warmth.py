"""How warm it was, as far as anybody said."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.culture.journal import KitchenSet, Reported
from bot.culture.state import Culture, Dossier
from bot.culture.vocabulary import Moved, Spot, Units
from bot.voice.chart import Stay, Warmth
from bot.voice.quantities import degrees
from bot.voice.week.frame import Frame

_STARTER_HOLDS = timedelta(hours=36)
"""A jar's own warmth is told of a feed or two, not for ever."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A warmth that holds from ``at`` on; None: told that it is not known."""

    at: datetime
    celsius: float | None


def kitchen_told(dossier: Dossier) -> tuple[Told, ...]:
    """Every warmth of the kitchen that was told, by whatever jar it was told with, oldest first."""
    told = [
        Told(at=seen.at, celsius=seen.signs.temperature.celsius)
        for culture in dossier.cultures
        for seen in culture.sightings
        if seen.signs.temperature is not None and seen.signs.temperature.of == "kitchen"
    ]
    for entry in dossier.journal:
        event = entry.event
        match event:
            case KitchenSet():
                told.append(Told(at=entry.at, celsius=event.celsius))
            case Reported() if entry.culture is None and event.replaces is None:
                heat = event.signs.temperature
                if heat is not None and heat.of == "kitchen":
                    told.append(Told(at=entry.at, celsius=heat.celsius))
            case _:
                pass
    return tuple(sorted(told, key=lambda one: one.at))


def kitchen_at(told: tuple[Told, ...], at: datetime) -> float | None:
    """The warmth that held at that moment."""
    before = [one.celsius for one in told if one.at <= at]
    return before[-1] if before else None


def jar_at(culture: Culture, told: tuple[Told, ...], at: datetime) -> float | None:
    """How warm the jar was: its own warmth if it was told lately, else the kitchen's where it stands in it."""
    own = [
        seen.signs.temperature.celsius
        for seen in culture.sightings
        if seen.signs.temperature is not None
        and seen.signs.temperature.of == "starter"
        and timedelta(0) <= at - seen.at <= _STARTER_HOLDS
    ]
    if own:
        return own[-1]
    return kitchen_at(told, at) if spot_at(culture, at) == "counter" else None


def spot_at(culture: Culture, at: datetime) -> Spot:
    """Where the jar stood; on the counter unless it was said to be moved."""
    moves = [deed.act.to for deed in culture.deeds if isinstance(deed.act, Moved) and deed.at <= at]
    return moves[-1] if moves else "counter"


def warmth_line(told: tuple[Told, ...], frame: Frame, units: Units) -> tuple[Warmth, ...]:
    """The kitchen's warmth within the frame, up to now."""
    until = min(frame.now, frame.end)
    inside = [one for one in told if frame.start < one.at <= until]
    before = [one for one in told if one.at <= frame.start]
    steps = [*before[-1:], *inside]
    ends = [*(one.at for one in steps[1:]), until]
    return tuple(
        Warmth(
            from_h=max(0.0, frame.hour(step.at)),
            to_h=frame.hour(end),
            celsius=step.celsius,
            label=degrees(step.celsius, units),
            is_told=step.at >= frame.start,
        )
        for step, end in zip(steps, ends, strict=True)
        if step.celsius is not None and end > frame.start
    )


def stays(culture: Culture, frame: Frame) -> tuple[Stay, ...]:
    """When the jar was in the fridge, within the frame and up to now."""
    until = min(frame.now, frame.end)
    moves = [
        (deed.at, deed.act.to == "fridge") for deed in culture.deeds if isinstance(deed.act, Moved)
    ]
    found: list[Stay] = []
    since: datetime | None = None
    for at, cold in [*moves, (until, False)]:
        if cold and since is None:
            since = at
        elif not cold and since is not None:
            start, end = max(since, frame.start), min(at, until)
            if end > start:
                found.append(Stay(from_h=frame.hour(start), to_h=frame.hour(end)))
            since = None
    return tuple(found)
