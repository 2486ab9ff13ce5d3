"""The week as a picture, for whoever asks to see it."""

from __future__ import annotations

from dataclasses import replace

from bot.coach.draft import Draft
from bot.coach.shelf import named
from bot.coach.speaking import condemned_choices, was_condemned
from bot.culture.state import Culture
from bot.reading.wanted import Show
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message
from bot.voice.week_chart import week_message


def show_week(draft: Draft, wanted: Show) -> None:
    """A picture of the jar of that name, or of each one when none was named."""
    living = draft.dossier.living
    if not living:
        begin = Choice(label=say("coach.choice_begin"), key="begin")
        draft.say(Message(kind="reply", text=say("chart.no_jar"), choices=(begin,)))
        return
    if wanted.name is None:
        for jar in living:
            draft.say(_week_of(draft, jar, wanted))
        return
    meant = named(draft.dossier, wanted.name)
    if meant is None:
        names = ", ".join(jar.name for jar in living)
        draft.say(
            Message(kind="reply", text=say("chart.no_such_jar", name=wanted.name, names=names))
        )
    else:
        draft.say(_week_of(draft, meant, wanted))


def _week_of(draft: Draft, jar: Culture, wanted: Show) -> Message:
    """The picture; it never stands alone for a jar that is to be thrown away."""
    message = week_message(draft.dossier, jar, draft.at, dark=wanted.dark)
    if not was_condemned(jar):
        return message
    return replace(message, text=say("coach.after_discard"), choices=condemned_choices(jar))
