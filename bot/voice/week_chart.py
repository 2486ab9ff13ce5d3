"""A week of one culture as a picture to be painted, with the same in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from bot.culture.state import Culture, Dossier
from bot.plan.mornings import local_day_at
from bot.voice.catalogue import say
from bot.voice.chart import Chart, DayColumn, Level, Wording
from bot.voice.message import Message
from bot.voice.week.frame import Frame, frame_of
from bot.voice.week.marks import lanes_of
from bot.voice.week.rises import week_of
from bot.voice.week.spans import Phases, phase_spans
from bot.voice.week.warmth import kitchen_told, stays, warmth_line
from bot.voice.week.words import alternative, moment_phase, weekday, when_shown

_LEVELS = (
    (1.0, "as_fed"), (1.5, "half"), (2.0, "doubled"), (3.0, "tripled"), (4.0, "four"),
)  # fmt: skip


def week_chart(dossier: Dossier, culture: Culture, at: datetime) -> Chart:
    """The culture's first seven days, or the seven that end today, up to ``at``.

    Total: a culture that was never mixed, or of which nothing is known, has a picture too.
    """
    units = dossier.person.units or "metric"
    frame = frame_of(dossier.person, culture, at)
    told = kitchen_told(dossier)
    phases = Phases(culture, told, frame.now)
    week = week_of(culture, frame, told, phases.at)
    warmth = warmth_line(told, frame, units)
    in_fridge = stays(culture, frame)
    return Chart(
        name=f"week-{culture.key}-{frame.now.astimezone(frame.zone):%Y-%m-%d-%H%M}",
        culture=culture.key,
        alt=alternative(
            culture,
            frame,
            units,
            phase=phases.at(moment_phase(frame, culture)),
            week=week,
            warmth=warmth,
            in_fridge=in_fridge,
        ),
        title=culture.name,
        subtitle=when_shown(frame, units),
        span_h=frame.span_h,
        now_h=round(frame.hour(frame.now), 3),
        days=tuple(
            DayColumn(
                from_h=frame.hour(frame.edges[index]),
                to_h=frame.hour(frame.edges[index + 1]),
                number="" if frame.first_number is None else str(frame.first_number + index),
                name=weekday(day, units),
                is_today=day == local_day_at(frame.now, frame.zone),
            )
            for index, day in enumerate(frame.days)
        ),
        phases=phase_spans(phases, culture, frame),
        levels=tuple(
            Level(ratio=ratio, label=say(f"chart.level_{word}")) for ratio, word in _LEVELS
        ),
        expected=week.expected,
        risen=tuple(risen for risen, _ in week.seen),
        stays=in_fridge,
        warmth=warmth,
        lanes=lanes_of(culture, frame),
        wording=_wording(frame),
    )


def week_message(
    dossier: Dossier, culture: Culture, at: datetime, *, dark: bool = False
) -> Message:
    """The picture with a line to go with it, as an answer."""
    chart = replace(week_chart(dossier, culture, at), dark=dark)
    line = "chart.week" if culture.started_at is not None else "chart.week_not_mixed"
    return Message(kind="reply", text=say(line, name=culture.name), chart=chart)


def _wording(frame: Frame) -> Wording:
    return Wording(
        phase=say("chart.row_phase"),
        day=say("chart.row_day") if frame.first_number is not None else "",
        warmth=say("chart.row_kitchen"),
        warmth_unknown=say("chart.warmth_unknown"),
        expected=say("chart.expected"),
        seen=say("chart.seen"),
        nothing_seen=say("chart.nothing_seen"),
        now=say("chart.now"),
        fridge=say("chart.fridge"),
    )
