"""The first questions: five at most, each with a default, each answered by a tap or in words.

Flour, the kitchen's warmth, measures, when and where mornings begin, a name. Pure: what is known
is the dossier, what is answered becomes journal events.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal, TypeAlias

from bot.culture.journal import Event
from bot.culture.state import Dossier, Person
from bot.voice.message import Message

FirstQuestion: TypeAlias = Literal["flour", "kitchen", "units", "mornings", "name"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Complaint:
    """One clear sentence: why that answer cannot be taken. The question is then asked again."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """The events that the answer comes to, the question's own ``QuestionClosed`` last.

    ``name`` is set by the question "name": the name of the culture that is about to begin.
    """

    events: tuple[Event, ...]
    name: str | None = None


def next_question(dossier: Dossier) -> FirstQuestion | None:
    """The next thing worth asking before a culture begins; None when all were asked."""
    raise NotImplementedError


def ask(question: FirstQuestion, person: Person, *, complaint: Complaint | None = None) -> Message:
    """The question in words, with quick answers ("q:<question>:<value>")."""
    raise NotImplementedError


def answer(
    question: FirstQuestion, text: str, at: datetime, person: Person
) -> Answered | Complaint:
    """What that answer means: ``text`` is what they wrote, or the key of the choice they tapped."""
    raise NotImplementedError


def answer_place(latitude: float, longitude: float, person: Person) -> Answered | Complaint:
    """A shared location, in answer to "mornings"."""
    raise NotImplementedError
