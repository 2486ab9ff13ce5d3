"""The first questions: five at most, each with a default, each answered by a tap or in words.

Flour, the kitchen's warmth, measures, when and where mornings begin, a name. Pure: what is known
is the dossier; ``first_answers`` makes journal events of what is answered.
"""

from __future__ import annotations

from datetime import time
from typing import assert_never, get_args

from bot.coach.first_answers import (
    USUAL_UNITS,
    Answered,
    Complaint,
    FirstQuestion,
    answer,
    answer_place,
)
from bot.culture.journal import QuestionClosed
from bot.culture.state import Dossier, Person
from bot.culture.vocabulary import Flour, Units
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message
from bot.voice.quantities import clock

__all__ = [
    "Answered",
    "Complaint",
    "FirstQuestion",
    "answer",
    "answer_place",
    "ask",
    "next_question",
]

TAPPED_C = (18, 21, 24, 27)
TAPPED_HOURS = (6, 7, 8, 9)


def next_question(dossier: Dossier) -> FirstQuestion | None:
    """The next thing worth asking before a culture begins; None when all were asked."""
    person = dossier.person
    closed = {
        entry.event.question for entry in dossier.journal if isinstance(entry.event, QuestionClosed)
    }
    known: dict[FirstQuestion, bool] = {
        "flour": person.flour is not None,
        "kitchen": person.kitchen_told,
        "units": person.units is not None,
        "mornings": person.morning_at is not None and person.zone is not None,
        "name": bool(dossier.cultures),
    }
    return next(
        (question for question, told in known.items() if not told and question not in closed), None
    )


def ask(question: FirstQuestion, person: Person, *, complaint: Complaint | None = None) -> Message:
    """The question in words, with quick answers ("q:<question>:<value>")."""
    units = person.units or USUAL_UNITS
    match question:
        case "flour":
            text = say("questions.flour")
            choices = [_choice(question, flour, f"choice_{flour}") for flour in get_args(Flour)]
        case "kitchen":
            text = say("questions.kitchen")
            choices = [_warmth_choice(celsius) for celsius in TAPPED_C]
            choices.append(_choice(question, "unknown", "choice_unknown"))
        case "units":
            text = say("questions.units")
            choices = [_choice(question, kind, f"choice_{kind}") for kind in get_args(Units)]
        case "mornings":
            text = _ask_mornings(person, units)
            choices = (
                []
                if person.morning_at is not None
                else [_hour_choice(h, units) for h in TAPPED_HOURS]
            )
        case "name":
            text = say("questions.name")
            if person.zone is not None and person.morning_at is not None:
                at, zone = clock(person.morning_at, units), _town(person.zone)
                text = f"{say('questions.mornings_noted', time=at, zone=zone)}\n\n{text}"
            choices = [_choice(question, "skip", "choice_skip")]
        case _:
            assert_never(question)
    if complaint is not None:
        text = f"{complaint.text}\n\n{text}"
    return Message(kind="reply", text=text, choices=tuple(choices))


def _ask_mornings(person: Person, units: Units) -> str:
    if person.morning_at is not None:
        return say("questions.mornings_where", time=clock(person.morning_at, units))
    return say("questions.mornings" if person.zone is None else "questions.mornings_when")


def _town(zone: str) -> str:
    """ "Europe/Oslo" as a person says it; an offset as it is."""
    if zone.startswith(("+", "-")):
        return f"UTC{zone}"
    return zone.rpartition("/")[2].replace("_", " ")


def _choice(question: FirstQuestion, value: str, line: str) -> Choice:
    return Choice(label=say(f"questions.{line}"), key=f"q:{question}:{value}")


def _warmth_choice(celsius: int) -> Choice:
    label = say("questions.choice_warmth", celsius=celsius, fahrenheit=round(celsius * 1.8 + 32))
    return Choice(label=label, key=f"q:kitchen:{celsius}")


def _hour_choice(hour: int, units: Units) -> Choice:
    return Choice(label=clock(time(hour), units), key=f"q:mornings:{hour:02}:00")
