"""Reminders that a person wished for: offered, set, spoken, and moved when a step comes late."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import assert_never

from bot.coach.draft import Draft
from bot.culture.journal import BakePlanned, PeakCheckSet, Prompted, PromptKind
from bot.culture.state import Bake, Culture
from bot.plan.mornings import local_day_at
from bot.plan.reminders import STALE, Reminder, is_quiet, last_feed, next_reminder, peak_of
from bot.plan.zones import zone_info
from bot.voice import quantities
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message

LATE = timedelta(minutes=30)
"""A step within half an hour of its time is on time."""
SAME_STEP = timedelta(hours=6)
"""A feed that far from a planned step is not that step."""


def offer_peak_check(draft: Draft, jar: Culture) -> Choice | None:
    """The choice to be asked at the peak of the feed just logged, when that can be timed."""
    feed = last_feed(jar)
    if feed is None or jar.spot == "fridge" or jar.peak_check_at is not None:
        return None
    peak = peak_of(draft.dossier, jar, feed)
    if peak is None or peak <= draft.at or is_quiet(draft.dossier, peak):
        return None
    return Choice(label=say("reminders.choice_peak"), key=f"peak:{jar.key}:{feed.number}")


def set_peak_check(draft: Draft, jar: Culture) -> None:
    """Ask at the peak of the last feed; say so, or why not."""
    feed = last_feed(jar)
    peak = None if feed is None else peak_of(draft.dossier, jar, feed)
    if peak is None or peak <= draft.at:
        draft.reply(say("reminders.no_peak"))
    elif is_quiet(draft.dossier, peak):
        draft.reply(say("reminders.peak_at_night", when=_when(draft, peak)))
    else:
        draft.note(PeakCheckSet(at=peak), jar.key)
        draft.reply(say("reminders.peak_set", when=_when(draft, peak), name=jar.name))


def remind_of_bake(draft: Draft, jar: Culture) -> None:
    """Remind of every step of the bake that was planned for this jar."""
    if jar.bake is None or jar.bake.ripe_at <= draft.at:
        draft.reply(say("reminders.no_bake"))
        return
    draft.note(BakePlanned(stages=jar.bake.stages, agreed=True), jar.key)
    first = jar.bake.stages[0].at
    draft.reply(say("reminders.bake_set", when=_when(draft, max(first, draft.at))))


def move_bake(draft: Draft, jar: Culture) -> str | None:
    """After a logged feed: the planned bake moved by as much as its step came late, in words."""
    bake, feed = jar.bake, last_feed(jar)
    if bake is None or feed is None or feed.told_at != draft.at:
        return None
    index = _step_taken(bake, feed.at)
    if index is None:
        return None
    delay = feed.at - bake.stages[index].at
    if abs(delay) <= LATE:
        return None
    stages = tuple(
        stage
        if number < index
        else replace(stage, at=stage.at + delay, ripe_at=stage.ripe_at + delay)
        for number, stage in enumerate(bake.stages)
    )
    draft.note(BakePlanned(stages=stages, agreed=bake.agreed), jar.key)
    for _ in range(index + 1 if bake.agreed else 0):
        # The steps up to this one are done: they need no reminder any more.
        draft.note(Prompted(prompt="reminder", local_day=draft.local_at.date()), jar.key)
    return say("reminders.bake_moved", when=_when(draft, stages[-1].ripe_at))


def speak_reminder(draft: Draft) -> bool:
    """Say the reminder that is due, if one is; one that is too late to help is passed over."""
    due = next_reminder(draft.dossier)
    if due is None or due.at > draft.at:
        return False
    jar = draft.dossier.culture(due.culture)
    if draft.at - due.at <= STALE:
        draft.say(_spoken(draft, jar, due))
    day = local_day_at(draft.at, zone_info(draft.dossier.person.zone or "UTC"))
    prompt: PromptKind = "peak-check" if due.about == "peak" else "reminder"
    draft.note(Prompted(prompt=prompt, local_day=day), jar.key)
    return True


def _spoken(draft: Draft, jar: Culture, due: Reminder) -> Message:
    heading = say("reminders.heading", name=jar.name)
    day = draft.local_at.date().isoformat()
    match due.about:
        case "peak":
            choices = tuple(
                Choice(
                    label=say(f"morning.choice_{what.replace('-', '_')}"),
                    key=f"say:{what}:{jar.key}:{day}",
                )
                for what in ("doubled", "some-bubbles", "nothing")
            )
            return Message(
                kind="prompt", heading=heading, text=say("reminders.peak_now"), choices=choices
            )
        case "bake":
            assert jar.bake is not None
            if due.stage == len(jar.bake.stages):
                return Message(kind="prompt", heading=heading, text=say("reminders.ripe_now"))
            stage = jar.bake.stages[due.stage]
            text = say(
                "reminders.mix_now",
                starter=f"{stage.starter_g:.0f}",
                flour=f"{stage.flour_g:.0f}",
                water=f"{stage.water_g:.0f}",
                ripe=_when(draft, stage.ripe_at),
            )
            return Message(kind="prompt", heading=heading, text=text)
        case _:
            assert_never(due.about)


def _step_taken(bake: Bake, fed_at: datetime) -> int | None:
    """The planned step that this feed is: the nearest one, if it is near at all."""
    gaps = [abs(fed_at - stage.at) for stage in bake.stages]
    nearest = min(range(len(gaps)), key=gaps.__getitem__)
    return nearest if gaps[nearest] <= SAME_STEP else None


def _when(draft: Draft, at: datetime) -> str:
    local = at.astimezone(draft.local_at.tzinfo)
    units = draft.dossier.person.units or "metric"
    return quantities.moment(quantities.rounded(local), draft.local_at, units)
