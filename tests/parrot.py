"""The smallest coach: keeps and repeats what it hears, and says good morning once a day."""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.culture.journal import Entry, Prompted, Reported
from bot.culture.state import Dossier
from bot.delivery.desk import Coach
from bot.turn import Heard, Said, Turn
from bot.voice.message import Message

DAY = timedelta(days=1)


def hear(dossier: Dossier, heard: Heard) -> Turn:
    """Repeats the text; "boom" is a fault in the coach itself."""
    text = heard.text if isinstance(heard, Said) else heard.kind
    if text == "boom":
        raise KeyError(text)
    entry = Entry(number=dossier.last_number + 1, at=heard.at, event=Reported(text=text))
    return Turn(
        entries=(entry,),
        messages=(Message(kind="reply", text=text),),
        next_prompt_at=next_prompt_at(dossier, heard.at),
    )


def speak(dossier: Dossier, now: datetime) -> Turn | None:
    """Good morning, with the number of mornings so far; nothing on the third."""
    mornings = sum(isinstance(entry.event, Prompted) for entry in dossier.journal)
    if mornings == 2:
        return None
    said = Prompted(prompt="morning", local_day=now.date())
    return Turn(
        entries=(Entry(number=dossier.last_number + 1, at=now, event=said),),
        messages=(Message(kind="prompt", text=f"morning {mornings + 1}"),),
        next_prompt_at=now + DAY,
    )


def next_prompt_at(dossier: Dossier, now: datetime) -> datetime | None:
    return now + DAY


PARROT = Coach(hear=hear, speak=speak, next_prompt_at=next_prompt_at)
