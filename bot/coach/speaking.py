"""The bot speaks first: a morning for each jar, or one kind line after a silence."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import assert_never

from bot.coach.draft import Draft
from bot.coach.reminding import speak_reminder
from bot.coach.waking import next_waking
from bot.culture.journal import Prompted
from bot.culture.state import Culture, Dossier, day_of
from bot.plan.keeping import keeps_in_cold, revival_of, standing
from bot.plan.mornings import KindLine, Morning, due, local_day_at
from bot.plan.stages import morning_plan
from bot.plan.zones import zone_info
from bot.turn import Turn
from bot.voice.catalogue import say
from bot.voice.keeping import fridge_message, revival_line
from bot.voice.message import Choice, Message
from bot.voice.morning import first_mix_message, kind_line, morning_message
from bot.voice.photo_strip import strip_message
from bot.voice.week_chart import week_chart

PICTURE_EVERY = 7
"""Days from one picture of the week to the next."""
STRIP_DAY = 7
"""The day of the culture on which its keeper is shown their own photos."""


def speak(dossier: Dossier, now: datetime) -> Turn | None:
    """What is due at that instant, None when nothing is."""
    draft = Draft(dossier, now)
    draft.come_home()
    while speak_reminder(draft):
        pass
    what = due(draft.dossier, now)
    match what:
        case None:
            if draft.is_empty:
                return None
        case Morning():
            for key in what.cultures:
                jar = draft.dossier.culture(key)
                message = morning_of(draft.dossier, jar, what.local_day, now)
                if _is_picture_day(draft.dossier, jar, what.local_day):
                    message = replace(message, chart=week_chart(draft.dossier, jar, now))
                draft.say(message)
                if _is_strip_day(draft.dossier, jar, what.local_day):
                    draft.say(strip_message(draft.dossier, jar, kind="prompt"))
                draft.note(Prompted(prompt="morning", local_day=what.local_day), key)
        case KindLine():
            draft.say(kind_line(draft.dossier, what.local_day))
            draft.note(Prompted(prompt="kind-line", local_day=what.local_day))
        case _:
            assert_never(what)
    return draft.turn()


def next_prompt_at(dossier: Dossier, now: datetime) -> datetime | None:
    """The instant at which ``speak`` has something to say next; in the past when it is overdue."""
    return next_waking(dossier, now)


def morning_of(dossier: Dossier, jar: Culture, local_day: date, now: datetime) -> Message:
    """What this jar's morning says; for one that should be thrown away, that and no feed."""
    if was_condemned(jar):
        return Message(
            kind="prompt",
            heading=say("coach.after_discard_heading", name=jar.name),
            text=say("coach.after_discard"),
            choices=condemned_choices(jar),
        )
    person = dossier.person
    if jar.started_at is None:
        return replace(first_mix_message(person, jar), kind="prompt")
    if standing(jar) == "fridge":
        zone = zone_info(person.zone or "UTC")
        days, keeps = keeps_in_cold(jar, local_day, zone)
        return fridge_message(jar, days, keeps, local_day, person)
    message = morning_message(morning_plan(dossier, jar, local_day, now), person, jar)
    revival = revival_of(jar)
    if revival is None:
        return message
    return replace(message, text=f"{message.text}\n\n{revival_line(revival)}")


def _is_picture_day(dossier: Dossier, jar: Culture, local_day: date) -> bool:
    """The seventh day and every seventh after it, when there is something to show."""
    if jar.started_at is None or not jar.sightings or was_condemned(jar):
        return False
    zone = zone_info(dossier.person.zone or "UTC")
    day = day_of(jar, local_day, local_day_at(jar.started_at, zone))
    return day >= PICTURE_EVERY and day % PICTURE_EVERY == 0


def _is_strip_day(dossier: Dossier, jar: Culture, local_day: date) -> bool:
    """The seventh day, once, for who has sent photos."""
    if jar.started_at is None or not jar.photos or was_condemned(jar):
        return False
    zone = zone_info(dossier.person.zone or "UTC")
    return day_of(jar, local_day, local_day_at(jar.started_at, zone)) == STRIP_DAY


def was_condemned(jar: Culture) -> bool:
    """Whether the last thing concluded of this jar was to throw it away."""
    said = [entry.verdict for entry in jar.conclusions if entry.verdict is not None]
    return bool(said) and said[-1] == "discard"


def condemned_choices(jar: Culture) -> tuple[Choice, ...]:
    return (
        Choice(label=say("coach.choice_binned"), key=f"binned:{jar.key}"),
        Choice(label=say("coach.choice_again"), key=f"again:{jar.key}"),
    )
