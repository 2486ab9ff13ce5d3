"""The room's door: a case becomes advice. Safety first, then what to do now, then reassurance."""

from __future__ import annotations

from bot.advice import answers
from bot.advice.answers import Found
from bot.advice.book import rulebook
from bot.advice.case import Advice, Case
from bot.advice.evidence import reasons
from bot.advice.facts import Facts
from bot.advice.gather import gather
from bot.advice.judge import Judgement, gravity, holds, judge
from bot.advice.rulebook import Rule
from bot.culture.vocabulary import Units

ASIDES = 2
"""At most so many short sentences beside the lead: one message, one next step."""


_FITTING = 5
"""A rule of this strength was written for just this question."""
_ASKABLE = frozenset({"warmth_c", "kitchen_c", "day", "hours"})
"""Facts that a person can tell in a word when asked."""


def consider(case: Case) -> Advice:
    """What there is to say to this message about this culture. Total."""
    return conclude(gather(case), case.words, case.units)


def conclude(facts: Facts, text: str, units: Units) -> Advice:
    """The same from facts and words alone."""
    book = rulebook()
    danger = judge(book.safety, facts)
    if danger.lead is not None:
        return _advice(facts, units, danger.speaking)
    state = judge(book.everyday, facts)
    found = answers.find(text, facts)
    return _advice(facts, units, _ordered(state, found, facts), found, _question(state, facts))


def _ordered(state: Judgement, found: Found | None, facts: Facts) -> tuple[Rule, ...]:
    """The lead first. A question that was clearly asked is answered before the signs are."""
    if found is None:
        return state.speaking
    answer = found.answer.rule
    lead = state.lead
    informs = answer.verdict is None
    if informs and facts.told and lead is not None and not facts.is_question:
        return state.speaking
    if informs and facts.told and lead is not None and _settles(lead, facts):
        return state.speaking
    sure = found.by_topic or found.score >= answers.SURE
    if lead is None:
        leads = sure or not facts.told
    elif not facts.told:
        sure = found.by_topic or (found.score >= answers.SURE and lead.strength < _FITTING)
        leads = sure and (_is_calm(lead) or gravity(answer.verdict) <= gravity(lead.verdict))
    elif not informs or lead.verdict is None:
        graver = gravity(answer.verdict) < gravity(lead.verdict)
        leads = found.by_topic and (_is_calm(lead) or graver)
    else:
        asked = facts.is_question and bool(set(found.answer.asks) & set(facts.asks))
        plain = found.score >= (answers.SURE if facts.is_question else answers.PLAIN)
        leads = (asked or plain or found.directly) and found.by_topic and _is_calm(lead)
    return (answer, *state.speaking) if leads else state.speaking


def _settles(lead: Rule, facts: Facts) -> bool:
    """Whether the jar may bake was asked, and its own rises say so or not."""
    return lead.subject in ("ready", "rise") and "ready" in facts.asks


def _is_calm(lead: Rule) -> bool:
    """The signs ask for nothing, so that a question may come first."""
    return gravity(lead.verdict) >= gravity("on-track")


def _question(state: Judgement, facts: Facts) -> str | None:
    """The one fact that would let a graver rule speak, if it is the only one that is missing."""
    lead = gravity(state.lead.verdict) if state.lead is not None else gravity(None)
    for rule in state.waiting:
        if rule.question is None or gravity(rule.verdict) >= lead:
            continue
        missing = [test.fact for test in rule.when if holds(test, facts) == "unknown"]
        if len(missing) == 1 and missing[0] in _ASKABLE:
            return rule.question
    return None


def _advice(
    facts: Facts,
    units: Units,
    speaking: tuple[Rule, ...],
    found: Found | None = None,
    question: str | None = None,
) -> Advice:
    if not speaking:
        return Advice(verdict=None, rules=(), reasons=(), facts=facts, question=question)
    lead = speaking[0]
    asides: list[Rule] = []
    subjects = {lead.subject}
    for rule in speaking[1:]:
        if rule.aside is None or rule.subject in subjects or len(asides) == ASIDES:
            continue
        subjects.add(rule.subject)
        asides.append(rule)
    spoken = (lead, *asides)
    verdict = min((rule.verdict for rule in spoken), key=gravity)
    return Advice(
        verdict=verdict,
        rules=tuple(rule.id for rule in spoken),
        reasons=reasons(spoken, facts, units),
        facts=facts,
        lead=lead,
        asides=tuple(asides),
        answer=found.answer if found is not None and found.answer.rule is lead else None,
        question=question,
    )
