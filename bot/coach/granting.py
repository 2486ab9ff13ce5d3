"""What a person wants of the bot itself, done."""

from __future__ import annotations

from dataclasses import replace
from datetime import time
from typing import Literal, assert_never

from babel.dates import format_date, format_time

from bot.coach.beginning import begin, close
from bot.coach.draft import Draft
from bot.coach.shelf import last_spoken_of, named
from bot.coach.showing import show_week
from bot.coach.speaking import morning_of
from bot.coach.waking import next_waking
from bot.culture.journal import (
    Concluded,
    Entry,
    FlourSet,
    JarSet,
    MethodChosen,
    MorningsSet,
    NextChosen,
    Paused,
    Renamed,
    Resumed,
    Stopped,
    UnitsSet,
    ZoneSet,
)
from bot.culture.state import Conclusion, Culture
from bot.plan.mornings import local_day_at
from bot.plan.zones import zone_info
from bot.reading.wishes import (
    Begin,
    FlourWish,
    Help,
    InZone,
    JarIs,
    MethodWish,
    MorningsAt,
    No,
    Pause,
    Rename,
    Resume,
    Show,
    Skip,
    Stop,
    Today,
    UnitsWish,
    Why,
    Wish,
    Yes,
)
from bot.voice.catalogue import LANGUAGE, say
from bot.voice.message import Choice, Message
from bot.voice.morning import first_mix_message
from bot.voice.why import why

Next = Literal["bake", "rest", "counter"]


def grant(draft: Draft, wanted: Wish) -> None:
    """Do it and say so in one message."""
    match wanted:
        case Stop():
            draft.note(Stopped())
            _reply(draft, say("coach.stopped"))
        case Pause():
            draft.note(Paused(until=wanted.until))
            _reply(draft, _paused(wanted))
        case Resume():
            draft.note(Resumed())
            when = _next_morning_in_words(draft)
            _reply(
                draft,
                say("coach.resumed_no_jar") if when is None else say("coach.resumed", when=when),
            )
        case MorningsAt():
            _move_mornings(draft, wanted.at)
        case InZone():
            _move_zone(draft, wanted)
        case Why():
            said = [e for e in draft.dossier.journal if isinstance(e.event, Concluded)]
            if said:
                explain(draft, said[-1])
            else:
                _reply(draft, say("coach.no_reason_yet"))
        case Today():
            _today(draft)
        case Show():
            show_week(draft, wanted)
        case Help():
            _reply(draft, say("coach.help"))
        case Begin():
            begin(draft, wanted.name)
        case Rename():
            _rename(draft, wanted)
        case UnitsWish():
            draft.note(UnitsSet(units=wanted.units))
            _reply(draft, say("coach.units_now", units=say(f"coach.units_{wanted.units}")))
        case FlourWish():
            draft.note(FlourSet(flour=wanted.flour))
            _reply(draft, say("coach.flour_now", flour=say(f"coach.flour_{wanted.flour}")))
        case JarIs():
            _set_jar(draft, wanted.jar_ml)
        case MethodWish():
            jar = _meant(draft)
            if jar is None:
                _reply(draft, say("coach.nothing_today"), _begin_choice())
            else:
                choose_method(draft, jar, wanted.method)
        case Skip() | No():
            close(draft)
            _reply(draft, say("coach.left_as_it_is"))
        case Yes():
            _reply(draft, say("coach.yes_to_what"))
        case _:
            assert_never(wanted)


def choose_method(draft: Draft, jar: Culture, method: str) -> None:
    """Another method for this jar, and what that means today."""
    draft.note(MethodChosen(method=method), jar.key)
    jar = draft.dossier.culture(jar.key)
    message = _day_of(draft, jar)
    draft.say(replace(message, text=f"{say(f'coach.method_{method}')}\n\n{message.text}"))


def choose_next(draft: Draft, jar: Culture, choice: Next) -> None:
    """At the gate: what a ready culture does now, with its steps."""
    draft.note(NextChosen(choice=choice), jar.key)
    _reply(draft, say(f"coach.gate_{choice}"))


def explain(draft: Draft, entry: Entry) -> None:
    """The facts, the rule and the source of something concluded earlier."""
    said = entry.event
    assert isinstance(said, Concluded)
    draft.say(
        why(
            Conclusion(
                at=entry.at,
                verdict=said.verdict,
                rules=said.rules,
                facts=said.facts,
                number=entry.number,
            )
        )
    )


def _paused(wanted: Pause) -> str:
    if wanted.until is None:
        return say("coach.paused")
    day = format_date(wanted.until, "EEEE d MMMM", locale=LANGUAGE)
    return say("coach.paused_until", day=day)


def _move_mornings(draft: Draft, at: time | None) -> None:
    if at is None:
        _reply(draft, say("coach.mornings_when"))
        return
    draft.note(MorningsSet(at=at))
    when = _next_morning_in_words(draft)
    if when is None:
        _reply(draft, say("coach.mornings_at_no_jar", time=_clock(at)))
    else:
        _reply(draft, say("coach.mornings_at", time=_clock(at), when=when))


def _move_zone(draft: Draft, wanted: InZone) -> None:
    if wanted.zone is None:
        _reply(draft, say("coach.zone_unknown", place=wanted.place))
        return
    draft.note(ZoneSet(zone=wanted.zone, until=wanted.until))
    at = _clock(draft.dossier.person.morning_at or time(8))
    _reply(draft, say("coach.zone_now", time=at, zone=wanted.place))


def _rename(draft: Draft, wanted: Rename) -> None:
    jar = _meant(draft) if wanted.old is None else named(draft.dossier, wanted.old)
    if jar is None:
        _reply(draft, say("coach.nothing_to_name"), _begin_choice())
    elif wanted.new is None:
        _reply(draft, say("coach.name_how"))
    elif named(draft.dossier, wanted.new) not in (None, jar):
        _reply(draft, say("coach.name_taken", name=wanted.new))
    else:
        draft.note(Renamed(name=wanted.new), jar.key)
        _reply(draft, say("coach.renamed", name=wanted.new))


def _set_jar(draft: Draft, jar_ml: float) -> None:
    jar = _meant(draft)
    if jar is None:
        _reply(draft, say("coach.nothing_today"), _begin_choice())
        return
    draft.note(JarSet(jar_ml=jar_ml), jar.key)
    jar = draft.dossier.culture(jar.key)
    message = _day_of(draft, jar)
    noted = say("coach.jar_now", jar=f"{jar_ml:.0f} ml")
    draft.say(replace(message, text=f"{noted}\n\n{message.text}"))


def _today(draft: Draft) -> None:
    if not draft.dossier.living:
        _reply(draft, say("coach.nothing_today"), _begin_choice())
    for jar in draft.dossier.living:
        draft.say(_day_of(draft, jar))


def _day_of(draft: Draft, jar: Culture) -> Message:
    """What this day brings to the jar, as an answer."""
    if jar.started_at is None:
        return first_mix_message(draft.dossier.person, jar)
    zone = zone_info(draft.dossier.person.zone or "UTC")
    today = local_day_at(draft.at, zone)
    return replace(morning_of(draft.dossier, jar, today, draft.at), kind="reply")


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


def _meant(draft: Draft) -> Culture | None:
    """The jar a wish without a name is about: the only one, or the one last spoken of."""
    living = draft.dossier.living
    if not living:
        return None
    return living[0] if len(living) == 1 else last_spoken_of(draft.dossier) or living[-1]


def _begin_choice() -> Choice:
    return Choice(label=say("coach.choice_begin"), key="begin")


def _reply(draft: Draft, text: str, *choices: Choice) -> None:
    draft.say(Message(kind="reply", text=text, choices=choices))
