"""From "I want to start" to a jar on the shelf: the first questions in turn, then day 1."""

from __future__ import annotations

from dataclasses import replace

from bot.coach.draft import Draft
from bot.coach.first_questions import (
    Answered,
    Complaint,
    FirstQuestion,
    answer,
    answer_place,
    ask,
    next_question,
)
from bot.coach.shelf import free_name, new_key
from bot.culture.journal import Began, Question, QuestionAsked, QuestionClosed, ZoneSet
from bot.culture.state import Culture
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message
from bot.voice.morning import first_mix_message


def begin(draft: Draft, name: str | None) -> None:
    """Ask what is not known yet; a person who was asked everything has the new jar at once."""
    if next_question(draft.dossier) is None:
        put_on_shelf(draft, name)
    else:
        ask_next(draft)


def ask_next(draft: Draft, *, complaint: Complaint | None = None) -> None:
    """Ask the next of the first questions, or the open one again."""
    question = next_question(draft.dossier)
    if question is None:
        return
    is_first = not any(isinstance(e.event, QuestionAsked) for e in draft.dossier.journal)
    if draft.dossier.person.waiting_for != question:
        draft.note(QuestionAsked(question=question))
    message = ask(question, draft.dossier.person, complaint=complaint)
    if is_first:
        message = replace(message, text=f"{say('coach.first_questions')}\n\n{message.text}")
    draft.say(message)


def take_answer(draft: Draft, waiting: Question, text: str, *, patient: bool) -> bool:
    """Take the answer to a first question. When it cannot be taken: complain and ask again, unless
    ``patient``, which leaves the words to somebody who understands them. True when it was dealt with.
    """
    question = _first(waiting)
    if question is None:
        return False
    outcome = answer(question, text, draft.local_at, draft.dossier.person)
    if isinstance(outcome, Complaint):
        if patient:
            return False
        ask_next(draft, complaint=outcome)
        return True
    _go_on(draft, outcome)
    return True


def take_place(draft: Draft, latitude: float, longitude: float) -> None:
    """A shared location: the answer to "when and where", or a move to another zone."""
    outcome = answer_place(latitude, longitude, draft.dossier.person)
    if isinstance(outcome, Complaint):
        draft.say(Message(kind="reply", text=outcome.text))
    elif draft.dossier.person.waiting_for == "mornings":
        _go_on(draft, outcome)
    else:
        for event in outcome.events:
            if isinstance(event, ZoneSet):
                draft.note(event)
                zone = event.zone.rpartition("/")[2].replace("_", " ")
                draft.reply(say("coach.zone_from_place", zone=zone))


def put_on_shelf(draft: Draft, name: str | None) -> Culture:
    """A new jar, not mixed yet, and what to mix into it."""
    person = draft.dossier.person
    key = new_key(draft.dossier)
    began = Began(
        name=free_name(draft.dossier, name or say("coach.default_name")),
        flour=person.flour or "white",
        method=say("coach.default_method"),
    )
    draft.note(began, key)
    jar = draft.dossier.culture(key)
    message = first_mix_message(person, jar)
    thrifty = Choice(label=say("coach.choice_thrifty"), key=f"method:thrifty:{key}")
    draft.say(replace(message, choices=(*message.choices, thrifty)))
    return jar


def _go_on(draft: Draft, answered: Answered) -> None:
    """Note the answer, then ask the next question or, after the last, put the jar on the shelf."""
    for event in answered.events:
        draft.note(event)
    if next_question(draft.dossier) is not None:
        ask_next(draft)
    elif not draft.dossier.living:
        put_on_shelf(draft, answered.name)


def _first(question: Question) -> FirstQuestion | None:
    match question:
        case "flour" | "kitchen" | "units" | "mornings" | "name":
            return question
        case _:
            return None


def close(draft: Draft) -> None:
    """Set the open question aside."""
    waiting = draft.dossier.person.waiting_for
    if waiting is not None:
        draft.note(QuestionClosed(question=waiting))
