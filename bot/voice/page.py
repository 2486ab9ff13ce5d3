"""The rule book as a page for a baker to read, question and sign: plain sentences, sources, samples."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime

from bot.advice.answers import Answer, answers
from bot.advice.book import rulebook
from bot.advice.case import Case
from bot.advice.conditions import AllOf, AnyOf, Between, Is, Known, Only
from bot.advice.facts import Facts
from bot.advice.rulebook import Rule, Test
from bot.culture.state import Culture, Dossier, Person
from bot.reading.reading import Reading
from bot.voice.catalogue import say
from bot.voice.slots import Slots
from bot.voice.why import sources

_SAMPLE_AT = datetime(2026, 3, 5, 9, 0, tzinfo=UTC)


def page() -> str:
    """The whole rule base in Markdown: safety first, then what is seen, then what is asked."""
    book = rulebook()
    parts = [say("rules.title"), say("rules.intro"), _ladder()]
    parts += _section("rules.safety", book.safety)
    parts += _section("rules.everyday", book.everyday)
    parts += [f"## {say('rules.answers')}"]
    for answer in sorted(answers(), key=lambda item: item.id):
        parts += _asked(answer)
    parts += [f"## {say('rules.sources')}"]
    parts += ["\n".join(f"- `{key}` {cite}" for key, cite in sorted(sources().items()))]
    return "\n\n".join(parts) + "\n"


def _ladder() -> str:
    return say("rules.ladder")


def _section(line: str, rules: Iterable[Rule]) -> Iterator[str]:
    yield f"## {say(line)}"
    for rule in sorted(rules, key=lambda rule: (rule.subject, -rule.strength, rule.id)):
        yield _rule(rule)


def _asked(answer: Answer) -> Iterator[str]:
    questions = "; ".join(answer.questions)
    yield _rule(answer.rule, say("rules.asked", questions=questions))


def _rule(rule: Rule, *more: str) -> str:
    slots = _sample()
    verdict = rule.verdict or say("rules.no_verdict")
    lines = [
        f"### {rule.id}",
        f"{rule.about}. **{verdict}**, {say('rules.strength')} {rule.strength}.",
    ]
    facts = [*more]
    if rule.when:
        facts.append(
            say("rules.when", conditions="; ".join(_condition(test) for test in rule.when))
        )
    if rule.unless:
        conditions = "; ".join(_condition(test) for test in rule.unless)
        facts.append(say("rules.unless", conditions=conditions))
    if rule.instead_of:
        facts.append(say("rules.instead_of", rules=", ".join(rule.instead_of)))
    opening = f"{slots.fill(rule.answer)} " if rule.answer else ""
    facts += [say("rules.says", text=opening + slots.fill(text)) for text in rule.say]
    facts.append(say("rules.next", text=slots.fill(rule.next), look=_look(rule)))
    if rule.aside:
        facts.append(say("rules.aside", text=slots.fill(rule.aside)))
    facts.append(
        say("rules.why", text=rule.why, sources=", ".join(f"`{key}`" for key in rule.sources))
    )
    facts.append(
        say("rules.limits", text=rule.limits, by=rule.reviewed_by, on=rule.reviewed_on.isoformat())
    )
    lines.append("\n".join(f"- {fact}" for fact in facts))
    return "\n\n".join(lines)


def _look(rule: Rule) -> str:
    return f"{rule.look_hours:g} h" if rule.look_hours is not None else rule.look


def _condition(test: Test) -> str:
    name = test.fact.replace("_", " ").removesuffix(" c")
    match test.condition:
        case Between():
            return f"{name} {_span(test.condition)}"
        case AnyOf(words):
            return f"{name}: {' / '.join(sorted(words))}"
        case AllOf(words):
            return f"{name}: {' + '.join(sorted(words))}"
        case Only(words):
            return f"{name}: {say('rules.only')} {' / '.join(sorted(words))}"
        case Is(wanted):
            return f"{name}: {say('rules.yes') if wanted else say('rules.no')}"
        case Known(wanted):
            return f"{name} {say('rules.known') if wanted else say('rules.unknown')}"


def _span(span: Between) -> str:
    if math.isinf(span.low):
        return f"{'<' if span.open_high else '≤'} {span.high:g}"
    if math.isinf(span.high):
        return f"{'>' if span.open_low else '≥'} {span.low:g}"
    return f"{span.low:g}\u2013{span.high:g}"


def _sample() -> Slots:
    """A jar on its fourth day in a kitchen of 21 °C, for the sample texts."""
    culture = Culture(
        key="c1",
        name="Biscuit",
        flour="white",
        method="full",
        began_at=_SAMPLE_AT,
        started_at=datetime(2026, 3, 2, 8, 0, tzinfo=UTC),
    )
    person = Person(units="metric", kitchen_c=21.0)
    dossier = Dossier(person_key="sample", person=person, cultures=(culture,))
    case = Case(
        dossier=dossier, culture=culture, reading=Reading(), at=_SAMPLE_AT, text="2 tbsp of starter"
    )
    return Slots(case, Facts(has_jar=True, day=4, warmth_c=21, hours_since_feed=24))
