"""Advice becomes a message: the direct answer, what it means, what to do now, when to look again."""

from __future__ import annotations

from bot.advice.case import Advice, Case
from bot.advice.rulebook import Rule
from bot.voice.catalogue import lines, say
from bot.voice.message import Choice, Message
from bot.voice.slots import Slots

WHY = "why"
"""The key of the tap that asks for the reasons of the last advice."""

_ASKED = ("alive", "ready", "bake", "keep", "normal", "next", "slow")
"""Questions that have a direct answer by the verdict, the first one asked winning."""


def reply(case: Case, advice: Advice) -> Message:
    """What to say to this case. Always a next step, or the word that none is needed."""
    if advice.lead is None:
        return Message(kind="reply", text=say("advice.not_understood"), rules=advice.rules)
    slots = Slots(case, advice.facts)
    vary = case.at.date().toordinal()
    lead = advice.lead
    opening = _opening(advice, lead, vary)
    meaning = [slots.fill(lead.say[vary % len(lead.say)])]
    meaning += [slots.fill(rule.aside) for rule in advice.asides if rule.aside is not None]
    first = " ".join(part for part in (opening and slots.fill(opening), *meaning) if part)
    doing = [slots.fill(lead.next), _look(lead, slots)]
    if advice.question is not None:
        doing.append(slots.fill(advice.question))
    second = " ".join(part for part in doing if part)
    choices = (Choice(label=say("advice.why"), key=WHY),) if advice.verdict is not None else ()
    return Message(
        kind="reply",
        text=f"{first}\n\n{second}",
        verdict=advice.verdict,
        rules=advice.rules,
        choices=choices,
    )


def _opening(advice: Advice, lead: Rule, vary: int) -> str | None:
    """The direct answer: the rule's own, else the usual one for the question and the verdict."""
    if lead.answer is not None:
        return lead.answer
    if lead.layer != "everyday" or lead.verdict is None:
        return None
    asked = next((ask for ask in _ASKED if ask in advice.facts.asks), "said")
    for line in (f"advice.{asked}_{lead.verdict}", f"advice.said_{lead.verdict}"):
        if line in lines():
            return say(line, vary=vary)
    return None


def _look(lead: Rule, slots: Slots) -> str | None:
    match lead.look:
        case "hours":
            assert lead.look_hours is not None
            return say("advice.look_at", when=slots.later(lead.look_hours))
        case "soon":
            return say("advice.look_at", when=slots.later(2))
        case "peak":
            return say("advice.look_at", when=slots.later(6))
        case "tomorrow":
            return say("advice.look_at", when=slots.tomorrow())
        case "next-feed":
            return say("advice.look_at", when=slots.tomorrow())
        case "now" | "never":
            return None
