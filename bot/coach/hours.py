"""When and where mornings come: pause, go on, another hour, another zone, a journey."""

from __future__ import annotations

from datetime import time

from babel.dates import format_date, format_time

from bot.coach.draft import Draft
from bot.coach.waking import next_waking
from bot.culture.journal import (
    MorningsSet,
    Paused,
    Resumed,
    ZoneSet,
)
from bot.plan.zones import zone_info
from bot.reading.wishes import (
    Away,
    InZone,
    Pause,
)
from bot.voice.catalogue import LANGUAGE, say
from bot.voice.keeping import away_line


def pause(draft: Draft, wanted: Pause) -> None:
    """No mornings until that day, or until told to go on."""
    draft.note(Paused(until=wanted.until))
    if wanted.until is None:
        draft.reply(say("coach.paused"))
        return
    day = format_date(wanted.until, "EEEE d MMMM", locale=LANGUAGE)
    draft.reply(say("coach.paused_until", day=day))


def resume(draft: Draft) -> None:
    """Mornings again."""
    draft.note(Resumed())
    when = _next_morning_in_words(draft)
    line = say("coach.resumed_no_jar") if when is None else say("coach.resumed", when=when)
    draft.reply(line)


def move_mornings(draft: Draft, at: time | None) -> None:
    if at is None:
        draft.reply(say("coach.mornings_when"))
        return
    draft.note(MorningsSet(at=at))
    when = _next_morning_in_words(draft)
    if when is None:
        draft.reply(say("coach.mornings_at_no_jar", time=_clock(at)))
    else:
        draft.reply(say("coach.mornings_at", time=_clock(at), when=when))


def move_zone(draft: Draft, wanted: InZone) -> None:
    if wanted.zone is None:
        draft.reply(say("coach.zone_unknown", place=wanted.place))
        return
    draft.note(ZoneSet(zone=wanted.zone, until=wanted.until))
    at = _clock(draft.dossier.person.morning_at or time(8))
    draft.reply(say("coach.zone_now", time=at, zone=wanted.place))


def go_away(draft: Draft, wanted: Away) -> None:
    """No mornings until they are back, and what to do with each jar before they leave."""
    days = (wanted.until - draft.local_at.date()).days
    draft.note(Paused(until=wanted.until))
    day = format_date(wanted.until, "EEEE d MMMM", locale=LANGUAGE)
    parts = [say("coach.away", day=day), *(away_line(jar, days) for jar in draft.dossier.living)]
    draft.reply("\n\n".join(parts))


def _next_morning_in_words(draft: Draft) -> str | None:
    """The moment of the next morning in the person's own clock, None when none is to come."""
    at = next_waking(draft.dossier, draft.at)
    if at is None:
        return None
    local = at.astimezone(zone_info(draft.dossier.person.zone or "UTC"))
    days = (local.date() - draft.local_at.date()).days
    clock = _clock(local.time())
    if days == 0:
        return say("coach.when_today", time=clock)
    if days == 1:
        return say("coach.when_tomorrow", time=clock)
    return say("coach.when_later", day=format_date(local, "EEEE", locale=LANGUAGE), time=clock)


def _clock(at: time) -> str:
    return format_time(at, "HH:mm", locale=LANGUAGE)
