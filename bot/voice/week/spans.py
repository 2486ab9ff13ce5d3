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

_STEP = timedelta(hours=6)


class Phases:
    """The likely phase at any moment, by all that was seen up to then; after now, by all that was seen.

    Looks are kept: a week asks for the same moments again and again.
    """

    def __init__(self, culture: Culture, told: tuple[Told, ...], now: datetime) -> None:
        self._culture = culture
        self._told = told
        self._now = now
        self._known: dict[datetime, Phase | None] = {}

    def at(self, moment: datetime) -> Phase | None:
        """None before the first mix."""
        if moment not in self._known:
            self._known[moment] = self._look(moment)
        return self._known[moment]

    def _look(self, moment: datetime) -> Phase | None:
        started = self._culture.started_at
        if started is None or moment < started:
            return None
        seen = tuple(look for look in self._culture.sightings if look.at <= moment)
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
    at = max(frame.start, culture.started_at)
    end = frame.end if culture.ended_at is None else min(frame.end, culture.ended_at)
    spans: list[PhaseSpan] = []
    while at < end:
        until = min(at + _STEP, end)
        phase = phases.at(at)
        assert phase is not None
        if spans and PHASES.index(phase) <= PHASES.index(_of(spans[-1])):
            spans[-1] = replace(spans[-1], to_h=frame.hour(until))
        else:
            spans.append(
                PhaseSpan(
                    from_h=frame.hour(at),
                    to_h=frame.hour(until),
                    phase=phase,
                    label=say(f"chart.phase_{phase}"),
                    short=say(f"chart.phase_short_{phase}"),
                )
            )
        at = until
    return tuple(spans)


def _of(span: PhaseSpan) -> Phase:
    return next(phase for phase in PHASES if phase == span.phase)
