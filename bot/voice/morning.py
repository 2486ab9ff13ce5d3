"""A morning in words: the day, the steps, what to expect, and quick answers to tap."""

from __future__ import annotations

from bot.culture.state import Culture, Person
from bot.plan.stages import MorningPlan
from bot.voice.message import Message


def morning_message(plan: MorningPlan, person: Person, culture: Culture) -> Message:
    """The prompt of one culture's morning.

    Quick answers have keys "say:<what>:<culture key>:<local day>", <what> being one of ``fed``,
    ``doubled``, ``some-bubbles``, ``nothing``, ``odd-smell``.
    """
    raise NotImplementedError


def kind_line(person: Person, cultures: tuple[Culture, ...]) -> Message:
    """The one line after three silent mornings."""
    raise NotImplementedError


def today_message(plan: MorningPlan, person: Person, culture: Culture) -> Message:
    """The same plan as an answer to "what do I do today?"."""
    raise NotImplementedError


def first_mix_message(person: Person, culture: Culture) -> Message:
    """Day 1 as a reply, for a culture that begins now: what to mix, in what jar, and what then."""
    raise NotImplementedError
