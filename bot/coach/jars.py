"""What a person does with the jars on their shelf: name, choose, split, retire, ask of the day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from bot.coach.draft import Draft
from bot.coach.reports import report
from bot.coach.shelf import free_name, meant, named, new_key
from bot.coach.speaking import morning_of
from bot.culture.journal import (
    Began,
    Ended,
    JarSet,
    MethodChosen,
    NextChosen,
    Renamed,
)
from bot.culture.state import Culture
from bot.culture.vocabulary import Fed, Started
from bot.plan.mornings import local_day_at
from bot.plan.tally import flour_tally
from bot.plan.zones import zone_info
from bot.reading.reading import Reading
from bot.reading.wishes import (
    Rename,
    Retire,
    Split,
)
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message
from bot.voice.morning import first_mix_message

Next = Literal["bake", "rest", "counter"]


def choose_method(draft: Draft, jar: Culture, method: str) -> None:
    """Another method for this jar, and what that means today."""
    draft.note(MethodChosen(method=method), jar.key)
    jar = draft.dossier.culture(jar.key)
    message = _day_of(draft, jar)
    draft.say(replace(message, text=f"{say(f'coach.method_{method}')}\n\n{message.text}"))


def choose_next(draft: Draft, jar: Culture, choice: Next) -> None:
    """At the gate: what a ready culture does now, with its steps."""
    draft.note(NextChosen(choice=choice), jar.key)
    draft.reply(say(f"coach.gate_{choice}"))


def rename(draft: Draft, wanted: Rename) -> None:
    jar = meant(draft) if wanted.old is None else named(draft.dossier, wanted.old)
    if jar is None:
        draft.reply(say("coach.nothing_to_name"), _begin_choice())
    elif wanted.new is None:
        draft.reply(say("coach.name_how"))
    elif named(draft.dossier, wanted.new) not in (None, jar):
        draft.reply(say("coach.name_taken", name=wanted.new))
    else:
        draft.note(Renamed(name=wanted.new), jar.key)
        draft.reply(say("coach.renamed", name=wanted.new))


def set_jar(draft: Draft, jar_ml: float) -> None:
    jar = meant(draft)
    if jar is None:
        draft.reply(say("coach.nothing_today"), _begin_choice())
        return
    draft.note(JarSet(jar_ml=jar_ml), jar.key)
    jar = draft.dossier.culture(jar.key)
    message = _day_of(draft, jar)
    noted = say("coach.jar_now", jar=f"{jar_ml:.0f} ml")
    draft.say(replace(message, text=f"{noted}\n\n{message.text}"))


def take_as_done(draft: Draft) -> None:
    """What was asked of them last is done: the first mix, or today's feed."""
    jar = meant(draft)
    if jar is None:
        draft.reply(say("coach.yes_to_what"))
        return
    zone = zone_info(draft.dossier.person.zone or "UTC")
    today = local_day_at(draft.at, zone)
    mixed_today = jar.started_at is not None and local_day_at(jar.started_at, zone) == today
    act: Fed | Started = Started() if jar.started_at is None or mixed_today else Fed()
    report(draft, say("coach.choice_done"), Reading(acts=(act,), about=jar.name), message=None)


def split(draft: Draft, wanted: Split) -> None:
    """A part in a jar of its own: as old as the other, with a journal of its own from now on."""
    jar = meant(draft)
    if jar is None or jar.started_at is None:
        draft.reply(say("coach.nothing_to_name"), _begin_choice())
        return
    key = new_key(draft.dossier)
    name = free_name(draft.dossier, wanted.name or jar.name)
    draft.note(
        Began(
            name=name,
            flour=jar.flour,
            method=jar.method,
            started_at=jar.started_at,
            jar_ml=jar.jar_ml,
        ),
        key,
    )
    if jar.chosen is not None:
        draft.note(NextChosen(choice=jar.chosen.choice), key)
    draft.reply(say("coach.split", old=jar.name, new=name))


def retire(draft: Draft, wanted: Retire) -> None:
    jar = meant(draft) if wanted.name is None else named(draft.dossier, wanted.name)
    if jar is None:
        draft.reply(say("coach.no_such_jar", name=wanted.name or ""))
        return
    draft.note(Ended(reason="retired"), jar.key)
    draft.reply(say("coach.retired", name=jar.name), _begin_choice())


def count_flour(draft: Draft, jar: Culture) -> None:
    """The flour this jar has taken so far."""
    tally = flour_tally(jar)
    said = say(
        "coach.flour_tally", count=tally.feeds, name=jar.name, kilos=f"{tally.flour_g / 1000:.2f}"
    )
    if tally.guessed:
        said = f"{said} {say('coach.flour_guessed', count=tally.guessed)}"
    draft.reply(said)


def with_jar(draft: Draft, do: Callable[[Culture], None]) -> None:
    """Do it to the jar that is meant, if there is one."""
    jar = meant(draft)
    if jar is None:
        draft.reply(say("coach.nothing_today"), _begin_choice())
    else:
        do(jar)


def show_today(draft: Draft) -> None:
    if not draft.dossier.living:
        draft.reply(say("coach.nothing_today"), _begin_choice())
    for jar in draft.dossier.living:
        draft.say(_day_of(draft, jar))


def _day_of(draft: Draft, jar: Culture) -> Message:
    """What this day brings to the jar, as an answer."""
    if jar.started_at is None:
        return first_mix_message(draft.dossier.person, jar)
    zone = zone_info(draft.dossier.person.zone or "UTC")
    today = local_day_at(draft.at, zone)
    return replace(morning_of(draft.dossier, jar, today, draft.at), kind="reply")


def _begin_choice() -> Choice:
    return Choice(label=say("coach.choice_begin"), key="begin")
