"""The phase of a culture along a week: once behind, a phase does not come back."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from bot.culture.phases import PHASES, Phase, phase_of
from bot.culture.state import Culture
from bot.voice.catalogue import say
from bot.voice.chart import PhaseSpan
from bot.voice.week.frame import Frame
from bot.voice.week.warmth import Told, kitchen_at

_NEAR = timedelta(hours=3)
"""How exactly the end of a phase is looked for."""
_FORMATIVE = timedelta(days=60)
"""What was seen later says nothing about a culture's first weeks."""


class Phases:
    """The likely phase at any moment, by all that was seen up to then; after now, by all that was seen.

    Looks are kept: a week asks for the same moments again and again, and each costs milliseconds.
    """

    def __init__(self, culture: Culture, told: tuple[Told, ...], now: datetime) -> None:
        self._culture = culture
        self._told = told
        self._now = now
        self._known: dict[datetime, Phase | None] = {}
        self._steady_from: datetime | None = None

    def at(self, moment: datetime) -> Phase | None:
        """None before the first mix."""
        if self._steady_from is not None and moment >= self._steady_from:
            return "steady"
        if moment not in self._known:
            phase = self._look(moment)
            self._known[moment] = phase
            if phase == "steady":
                self._steady_from = moment
        return self._known[moment]

    def _look(self, moment: datetime) -> Phase | None:
        started = self._culture.started_at
        if started is None or moment < started:
            return None
        until = min(moment, started + _FORMATIVE)
        seen = tuple(look for look in self._culture.sightings if look.at <= until)
        view = phase_of(
            replace(self._culture, sightings=seen),
            moment,
            kitchen_c=kitchen_at(self._told, min(moment, self._now)),
        )
        return None if view is None else view.likely


def phase_spans(phases: Phases, culture: Culture, frame: Frame) -> tuple[PhaseSpan, ...]:
    """The band of phases from the first mix to the frame's end, or to the culture's."""
    if culture.started_at is None:
        return ()
    start = max(frame.start, culture.started_at)
    end = frame.end if culture.ended_at is None else min(frame.end, culture.ended_at)
    if start >= end:
        return ()
    first, last = phases.at(start), phases.at(end)
    assert first is not None and last is not None
    starts = {first: start}
    _find_starts(phases, (start, first), (end, last), starts)
    found = sorted(starts.items(), key=lambda item: item[1])
    ends = [*(at for _, at in found[1:]), end]
    return tuple(
        PhaseSpan(
            from_h=round(frame.hour(at), 3),
            to_h=round(frame.hour(until), 3),
            phase=phase,
            label=say(f"chart.phase_{phase}"),
            short=say(f"chart.phase_short_{phase}"),
        )
        for (phase, at), until in zip(found, ends, strict=True)
    )


def _find_starts(
    phases: Phases,
    early: tuple[datetime, Phase],
    late: tuple[datetime, Phase],
    starts: dict[Phase, datetime],
) -> None:
    """Halve the stretch as long as its ends differ; note when each later phase is first seen."""
    if PHASES.index(late[1]) <= PHASES.index(early[1]):
        return
    if late[0] - early[0] <= _NEAR:
        starts.setdefault(late[1], late[0])
        return
    half = early[0] + (late[0] - early[0]) / 2
    phase = phases.at(half)
    assert phase is not None
    middle = (half, max(early[1], phase, key=PHASES.index))
    _find_starts(phases, early, middle, starts)
    _find_starts(phases, middle, late, starts)
