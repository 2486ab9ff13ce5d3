"""A message about a jar: read it, log it, say what it means."""

from __future__ import annotations

from dataclasses import replace

from bot.advice.case import Case
from bot.advice.consider import consider
from bot.coach.amending import amended, correctable, report_of
from bot.coach.draft import Draft
from bot.coach.photos import answer_kept, claim_photos
from bot.coach.reminding import move_bake, offer_peak_check
from bot.coach.shelf import (
    Everyone,
    Unclear,
    addressed,
    may_choose,
    named,
    new_key,
    waiting_for_a_jar,
)
from bot.culture.journal import (
    Began,
    Concluded,
    Entry,
    NextChosen,
    QuestionAsked,
    QuestionClosed,
    Reported,
)
from bot.culture.state import Culture, Dossier
from bot.culture.vocabulary import Fed, Moved, Started, Units, Verdict
from bot.reading.reader import read
from bot.reading.reading import OtherCulture, Reading
from bot.reading.shares import words_about
from bot.reading.topics import topics
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message
from bot.voice.phrasing import WHY, reply
from bot.voice.understood import understood

GRAVEST_FIRST: tuple[Verdict | None, ...] = (
    "discard",
    "ask",
    "adjust",
    "ready",
    "on-track",
    None,
)


def understand(dossier: Dossier, draft: Draft, text: str) -> Reading:
    """Read a text as this person, in their zone and measures, would mean it."""
    names = tuple(jar.name for jar in dossier.living)
    units: Units = dossier.person.units or "metric"
    reading = read(text, at=draft.local_at, units=units, cultures=names)
    return replace(reading, topics=topics(text))


def says_something(reading: Reading) -> bool:
    """Whether the message tells or asks anything that the bot understands."""
    return bool(
        not reading.signs.is_empty
        or reading.acts
        or reading.asks
        or reading.topics
        or reading.others
        or reading.doubts
    )


def is_danger(reading: Reading) -> bool:
    """Whether the reading holds a sign of danger, or a doubt about one."""
    signs = reading.signs
    found = signs.mould or signs.streak or signs.pests or "rotten" in signs.smell
    return bool(found or reading.doubts)


def report(draft: Draft, text: str, reading: Reading, *, message: str | None) -> None:
    """Log what was said and answer it."""
    jar = addressed(draft.dossier, text, reading, draft.at)
    if isinstance(jar, Unclear):
        _ask_which(draft, jar, text, reading, message)
        return
    if isinstance(jar, Everyone):
        draft.say(_joined([_about(draft, one, text, reading, message) for one in jar.jars]))
        return
    if jar is None and any(isinstance(act, Started) for act in reading.acts):
        jar = _begin_anew(draft, reading)
    names = tuple(one.name for one in draft.dossier.living)
    own = text
    if reading.others and jar is not None:
        own = words_about(text, jar.name, names)
        reading = replace(reading, topics=topics(own))
    answers = [_about(draft, jar, text, reading, message, own=own)]
    for other in reading.others:
        neighbour = named(draft.dossier, other.name)
        if neighbour is not None:
            own = words_about(text, neighbour.name, names)
            theirs = replace(_reading_of(other), topics=topics(own))
            if own.strip(" .!,").casefold() == neighbour.name.casefold():
                # "Fed Ada 1:1:1 and Bea": a bare name shares what was done.
                theirs = replace(theirs, acts=theirs.acts or reading.acts)
            if not says_something(theirs):
                continue
            answers.append(_about(draft, neighbour, text, theirs, message, own=own))
    draft.say(_joined(answers))


def report_for(draft: Draft, key: str) -> None:
    """The last report and the photos that waited to be told their jar now belong to this one."""
    reports = [e.event for e in waiting_for_a_jar(draft.dossier) if isinstance(e.event, Reported)]
    if key not in {jar.key for jar in draft.dossier.living}:
        draft.reply(say("coach.stale_tap"))
        return
    has_photos = claim_photos(draft, key)
    if draft.dossier.person.waiting_for == "which-culture":
        draft.note(QuestionClosed(question="which-culture"))
    if not reports:
        if has_photos:
            answer_kept(draft, draft.dossier.culture(key))
        else:
            draft.reply(say("coach.stale_tap"))
        return
    event = reports[-1]
    reading = understand(draft.dossier, draft, event.text)
    jar = draft.dossier.culture(key)
    draft.say(_about(draft, jar, event.text, reading, event.message)[1])


def edit(draft: Draft, text: str, message: str) -> None:
    """The person edited a message: what it said before no longer counts. Quiet if it was not logged."""
    logged = report_of(draft.dossier, message)
    if logged is None or logged.culture is None:
        return
    reading = understand(draft.dossier, draft, text)
    jar = draft.dossier.culture(logged.culture)
    if jar.ended == "retired":
        return
    logged = _note(draft, jar, text, reading, message, replaces=logged.number)
    answer = _answer(draft, draft.dossier.culture(jar.key), text, reading, logged)
    draft.say(replace(answer, text=f"{say('coach.corrected')}\n{answer.text}"))


def forget(draft: Draft, number: int) -> bool:
    """Take a report back: a correction that says nothing. False when there is no such report."""
    entry = next((e for e in draft.dossier.journal if e.number == number), None)
    if entry is None or not isinstance(entry.event, Reported) or entry.culture is None:
        return False
    draft.note(Reported(text="", replaces=number), entry.culture)
    return True


def _about(
    draft: Draft,
    jar: Culture | None,
    text: str,
    reading: Reading,
    message: str | None,
    *,
    own: str | None = None,
) -> tuple[Culture | None, Message]:
    """Log and answer one jar's part of a message; ``own`` are the words of it, None for all."""
    if jar is None:
        return None, _answer(draft, None, text, reading, None)
    earlier = correctable(draft, jar.key) if reading.corrects else None
    if earlier is not None:
        reading = amended(earlier, reading)
    replaces = None if earlier is None else earlier.number
    logged = _note(draft, jar, text, reading, message, replaces=replaces)
    if _rests_now(draft.dossier.culture(jar.key), reading):
        draft.note(NextChosen(choice="rest"), jar.key)
    jar = draft.dossier.culture(jar.key)
    return jar, _answer(draft, jar, text if own is None else own, reading, logged)


def _rests_now(jar: Culture, reading: Reading) -> bool:
    """A culture that has been ready and is put into the fridge has its keeper's choice made."""
    into_cold = any(isinstance(act, Moved) and act.to == "fridge" for act in reading.acts)
    return into_cold and may_choose(jar)


def _note(
    draft: Draft,
    jar: Culture,
    text: str,
    reading: Reading,
    message: str | None,
    *,
    replaces: int | None,
) -> Entry:
    return draft.note(
        Reported(
            text=text,
            signs=reading.signs,
            acts=reading.acts,
            asks=reading.asks,
            message=message,
            replaces=replaces,
        ),
        jar.key,
    )


def _answer(
    draft: Draft, jar: Culture | None, text: str, reading: Reading, logged: Entry | None
) -> Message:
    case = Case(dossier=draft.dossier, culture=jar, reading=reading, at=draft.local_at, text=text)
    advice = consider(case)
    message = reply(case, advice)
    key = None if jar is None else jar.key
    concluded = Concluded(verdict=advice.verdict, rules=advice.rules, facts=advice.reasons)
    entry = draft.note(concluded, key)
    noted = None
    choices = [choice for choice in message.choices if choice.key != WHY]
    if advice.verdict == "ready" and jar is not None:
        choices += [
            Choice(label=say(f"coach.choice_{choice}"), key=f"next:{choice}:{jar.key}")
            for choice in ("bake", "rest", "counter")
        ]
    if logged is not None:
        noted = understood(reading, draft.dossier.person.units or "metric")
        if noted is not None:
            choices.append(Choice(label=say("coach.choice_fix"), key=f"fix:{logged.number}"))
    moved = None
    if jar is not None and any(isinstance(act, Fed) for act in reading.acts):
        moved = move_bake(draft, jar)
        offered = offer_peak_check(draft, draft.dossier.culture(jar.key))
        if offered is not None and advice.verdict != "discard":
            choices.append(offered)
    if advice.rules:
        choices.append(Choice(label=say("coach.choice_why"), key=f"why:{entry.number}"))
    text = "\n\n".join(part for part in (noted, message.text, moved) if part is not None)
    return replace(message, text=text, choices=tuple(choices))


def _joined(answers: list[tuple[Culture | None, Message]]) -> Message:
    """Several jars in one message: each by its name, under the gravest verdict."""
    if len(answers) == 1:
        return answers[0][1]
    gravest = min((answer.verdict for _, answer in answers), key=GRAVEST_FIRST.index)
    parts = [
        say("coach.of_jar", name=jar.name if jar else "", text=answer.text)
        for jar, answer in sorted(answers, key=lambda pair: GRAVEST_FIRST.index(pair[1].verdict))
    ]
    return Message(
        kind="reply",
        text="\n\n".join(parts),
        verdict=gravest,
        rules=tuple(dict.fromkeys(rule for _, answer in answers for rule in answer.rules)),
    )


def _ask_which(
    draft: Draft, unclear: Unclear, text: str, reading: Reading, message: str | None
) -> None:
    """Keep the report without a jar, and ask for one; a danger is answered at once all the same."""
    draft.note(
        Reported(
            text=text, signs=reading.signs, acts=reading.acts, asks=reading.asks, message=message
        )
    )
    draft.note(QuestionAsked(question="which-culture"))
    choices = tuple(Choice(label=jar.name, key=f"which:{jar.key}") for jar in unclear.jars)
    case = Case(dossier=draft.dossier, culture=None, reading=reading, at=draft.local_at, text=text)
    advice = consider(case)
    question = say("coach.which_jar")
    if advice.verdict == "discard":
        first = reply(case, advice)
        draft.say(replace(first, text=f"{first.text}\n\n{question}", choices=choices))
    else:
        draft.say(Message(kind="reply", text=question, verdict="ask", choices=choices))


def _begin_anew(draft: Draft, reading: Reading) -> Culture | None:
    """A first mix with no jar on the shelf begins one, for a person whose mornings are known."""
    person = draft.dossier.person
    if person.zone is None:
        return None
    first = next(act for act in reading.acts if isinstance(act, Started))
    flour = first.flours[0] if first.flours else person.flour or "white"
    key = new_key(draft.dossier)
    began = Began(name=say("coach.default_name"), flour=flour, method=say("coach.default_method"))
    draft.note(began, key)
    return draft.dossier.culture(key)


def _reading_of(other: OtherCulture) -> Reading:
    return Reading(signs=other.signs, acts=other.acts, about=other.name)
