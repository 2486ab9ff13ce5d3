"""A question put where others read along: answered like a passer-by's, and forgotten.

There is no dossier in here, so that there is none to show: what is asked in a group, or inline in any
chat, is answered by what the words say alone, even to somebody whose log is long.
"""

from __future__ import annotations

from dataclasses import replace

from bot.coach.baking import plan
from bot.coach.draft import Draft
from bot.coach.reports import is_danger, report, says_something, understand
from bot.culture.state import Dossier
from bot.reading.bakes import bake_wish
from bot.turn import Asked
from bot.voice.catalogue import say
from bot.voice.message import Message

PASSER_BY = Dossier(person_key="")


def answer(asked: Asked) -> Message | None:
    """One message without choices; None when nothing in the words can be answered. Total."""
    draft = Draft(PASSER_BY, asked.at)
    reading = understand(draft.dossier, draft, asked.text)
    bake = bake_wish(asked.text, draft.local_at)
    if bake is not None and not is_danger(reading):
        draft.say(plan(draft, bake, reading))
    elif says_something(reading):
        report(draft, asked.text, reading, message=None)
    said = draft.turn().messages
    return replace(said[0], choices=(), answers=asked.message) if said else None


def how_to_ask(asked: Asked) -> Message:
    """What to do for an answer."""
    return Message(kind="reply", text=say("passing_by.how"), answers=asked.message)
