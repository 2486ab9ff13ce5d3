"""The first questions: five at most, a tap or a word each, and never stuck."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.coach.first_questions import (
    Answered,
    Complaint,
    FirstQuestion,
    answer,
    answer_place,
    ask,
    next_question,
)
from bot.culture.fold import extend
from bot.culture.journal import (
    Entry,
    Event,
    FlourSet,
    KitchenSet,
    MorningsSet,
    QuestionClosed,
    UnitsSet,
    ZoneSet,
)
from bot.culture.state import Dossier, Person
from bot.culture.vocabulary import Units

AT = datetime(2026, 3, 4, 8, 20, tzinfo=UTC)
QUESTIONS: tuple[FirstQuestion, ...] = ("flour", "kitchen", "units", "mornings", "name")


def answered(question: FirstQuestion, text: str, person: Person | None = None) -> Answered:
    outcome = answer(question, text, AT, person or Person())
    assert isinstance(outcome, Answered), outcome
    return outcome


def refused(question: FirstQuestion, text: str, person: Person | None = None) -> str:
    outcome = answer(question, text, AT, person or Person())
    assert isinstance(outcome, Complaint), outcome
    return outcome.text


def after(dossier: Dossier, events: tuple[Event, ...]) -> Dossier:
    first = dossier.last_number + 1
    entries = [Entry(number=first + n, at=AT, event=event) for n, event in enumerate(events)]
    return extend(dossier, entries)


def conversation(*answers: str) -> tuple[Dossier, list[FirstQuestion], str | None]:
    """Answer one question after the other: the dossier, what was asked, the name given."""
    dossier, asked, name = Dossier(person_key="p"), [], None
    for text in answers:
        question = next_question(dossier)
        assert question is not None, f"nothing was asked that {text!r} could answer"
        asked.append(question)
        outcome = answer(question, text, AT, dossier.person)
        assert isinstance(outcome, Answered), outcome
        dossier, name = after(dossier, outcome.events), outcome.name
    return dossier, asked, name


def test_five_words_and_a_person_is_known() -> None:
    dossier, asked, name = conversation("rye", "21", "metric", "8, Oslo", "Ember")

    assert asked == list(QUESTIONS)
    assert next_question(dossier) is None
    person = dossier.person
    assert (person.flour, person.kitchen_c, person.units) == ("rye", 21.0, "metric")
    assert (person.morning_at, person.zone, name) == (time(8), "Europe/Oslo", "Ember")


def test_five_taps_will_do_when_the_zone_is_known() -> None:
    dossier = after(Dossier(person_key="p"), (ZoneSet(zone="Asia/Tokyo"),))
    for _ in range(5):
        question = next_question(dossier)
        assert question is not None
        tapped = ask(question, dossier.person).choices[0].key
        dossier = after(dossier, answered(question, tapped, dossier.person).events)

    assert next_question(dossier) is None
    assert dossier.person.zone == "Asia/Tokyo"


def test_skipping_everything_leaves_a_person_with_sensible_defaults() -> None:
    dossier, _, name = conversation("skip", "don't know", "whatever", "you choose", "no")

    person = dossier.person
    assert (person.flour, person.kitchen_c, person.units) == ("white", None, "metric")
    assert (person.morning_at, person.zone, name) == (time(8), "UTC", None)
    assert next_question(dossier) is None


def test_a_kitchen_told_in_fahrenheit_settles_the_measures_too() -> None:
    dossier, asked, _ = conversation("white", "72F", "7, New York", "skip")

    assert asked == ["flour", "kitchen", "mornings", "name"]
    assert dossier.person.units == "us"


def test_an_hour_alone_keeps_the_hour_and_asks_only_where() -> None:
    dossier, asked, _ = conversation("white", "21", "metric", "8", "Oslo", "skip")

    assert asked == ["flour", "kitchen", "units", "mornings", "mornings", "name"]
    assert (dossier.person.morning_at, dossier.person.zone) == (time(8), "Europe/Oslo")


def test_who_knows_where_they_are_is_not_asked_where_again() -> None:
    person = Person(zone="Europe/Oslo")

    assert "where" not in ask("mornings", person).text.lower()
    assert answered("mornings", "7", person).events == (
        MorningsSet(at=time(7)),
        ZoneSet(zone="Europe/Oslo"),
        QuestionClosed(question="mornings"),
    )


def test_what_is_known_is_not_asked() -> None:
    dossier = after(
        Dossier(person_key="p"),
        (FlourSet(flour="rye"), KitchenSet(celsius=None), UnitsSet(units="us")),
    )

    assert next_question(dossier) == "mornings"


def test_a_question_set_aside_is_never_asked_again() -> None:
    closed = tuple(QuestionClosed(question=question) for question in QUESTIONS)

    assert next_question(after(Dossier(person_key="p"), closed)) is None


@pytest.mark.parametrize(
    ("text", "flour"),
    [
        ("rye", "rye"), ("Rye flour!", "rye"), ("white", "white"), ("all purpose", "white"),
        ("AP", "white"), ("wholemeal I think", "wholewheat"), ("Whole wheat", "wholewheat"),
        ("bread flour and some rye", "bread"), ("strong white", "bread"), ("spelt", "spelt"),
        ("something else", "other"), ("q:flour:spelt", "spelt"), ("organic unbleached white", "white"),
    ],
)  # fmt: skip
def test_flour_in_a_word_or_a_sentence(text: str, flour: str) -> None:
    assert answered("flour", text).events[0] == FlourSet(flour=flour)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "units", "celsius"),
    [
        ("21", None, 21.0), ("about 21", None, 21.0), ("21 C", None, 21.0), ("20-22", None, 21.0),
        ("20 to 22", None, 21.0), ("21,5", None, 21.5), ("it's 19 in here", None, 19.0),
        ("twenty-one", None, 21.0), ("72", None, 22.2), ("72F", None, 22.2), ("70 °F", None, 21.1),
        ("about seventy degrees", None, 21.1), ("68 to 70", None, 20.6), ("72", "us", 22.2),
        ("20", "us", 20.0), ("41", "us", 5.0), ("cold", None, 17.0), ("it's a bit cool", None, 19.0),
        ("room temp", None, 21.0), ("warm", None, 24.0), ("q:kitchen:24", None, 24.0),
        ("don't know", None, None), ("q:kitchen:unknown", None, None), ("no idea", "us", None),
    ],
)  # fmt: skip
def test_warmth_in_degrees_of_either_kind_or_in_a_word(
    text: str, units: Units | None, celsius: float | None
) -> None:
    # 70 °F = 21.111 °C (F-156, exact by definition).
    person = Person(units=units)

    assert answered("kitchen", text, person).events[-2] == KitchenSet(celsius=celsius)


@pytest.mark.parametrize("text", ["300", "-5", "21 F", "0", "3 C", "150F"])
def test_a_kitchen_that_cannot_be_is_asked_about(text: str) -> None:
    assert text in refused("kitchen", text)


@pytest.mark.parametrize(
    ("text", "hour", "zone"),
    [
        ("8, Oslo", time(8), "Europe/Oslo"), ("8 Oslo", time(8), "Europe/Oslo"),
        ("Oslo, 8", time(8), "Europe/Oslo"), ("8am in New York", time(8), "America/New_York"),
        ("half past 7, lisbon", time(7, 30), "Europe/Lisbon"), ("6:30 UTC+1", time(6, 30), "+01:00"),
        ("Oslo at 9", time(9), "Europe/Oslo"), ("at 8 and I'm in Paris, Texas", time(8), "America/Chicago"),
        ("about 7ish, london", time(7), "Europe/London"), ("Oslow 8", time(8), "Europe/Oslo"),
        ("7 pm Berlin", time(19), "Europe/Berlin"), ("Oslo", time(8), "Europe/Oslo"),
        ("+0530", time(8), "+05:30"), ("08:00 Europe/Berlin", time(8), "Europe/Berlin"),
        ("8, Kathmandu", time(8), "Asia/Kathmandu"),
    ],
)  # fmt: skip
def test_when_and_where_in_one_answer(text: str, hour: time, zone: str) -> None:
    assert answered("mornings", text).events == (
        MorningsSet(at=hour),
        ZoneSet(zone=zone),
        QuestionClosed(question="mornings"),
    )


def test_a_place_nobody_knows_is_named_in_the_complaint() -> None:
    assert "Atlantiss" in refused("mornings", "8, Atlantiss")


def test_whoever_skips_the_place_is_taken_to_be_where_their_clock_is() -> None:
    in_norway = AT.astimezone(timezone(timedelta(hours=1)))

    told = answer("mornings", "skip", in_norway, Person())
    untold = answer("mornings", "skip", AT, Person(units="us"))

    assert isinstance(told, Answered) and ZoneSet(zone="+01:00") in told.events
    assert isinstance(untold, Answered) and ZoneSet(zone="America/Chicago") in untold.events


def test_a_shared_location_answers_where() -> None:
    shared = answer_place(59.91, 10.75, Person(morning_at=time(7)))

    assert isinstance(shared, Answered)
    assert shared.events == (
        MorningsSet(at=time(7)),
        ZoneSet(zone="Europe/Oslo"),
        QuestionClosed(question="mornings"),
    )
    assert isinstance(answer_place(float("nan"), 0, Person()), Complaint)


def test_the_zone_that_was_understood_is_said_back() -> None:
    text = ask("name", Person(zone="America/New_York", morning_at=time(7), units="us")).text

    assert "7:00 AM" in text and "New York" in text


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Ember", "Ember"), ("call it Ember", "Ember"), ('"Rye Guy"', "Rye Guy"),
        ("<b>Bob</b>", "<b>Bob</b>"), ("{name}", "{name}"), ("x" * 90, "x" * 40),
        ("\u202eevil\x00", "evil"), ("🍞", "🍞"), ("skip", None), ("no", None), ("none", None),
        ("q:name:skip", None),
    ],
)  # fmt: skip
def test_a_name_is_kept_as_plain_text_or_left_out(text: str, name: str | None) -> None:
    assert answered("name", text).name == name


@pytest.mark.parametrize(
    ("question", "text"),
    [
        ("flour", "banana"), ("flour", ""), ("kitchen", "purple"), ("kitchen", "not warm"),
        ("units", "furlongs"), ("units", "both"), ("mornings", "banana"), ("mornings", "25, Oslo"),
        ("name", " \x00 "),
    ],
)  # fmt: skip
def test_a_wrong_answer_gets_one_clear_sentence_and_the_question_again(
    question: FirstQuestion, text: str
) -> None:
    complaint = Complaint(text=refused(question, text))

    again = ask(question, Person(), complaint=complaint)

    assert again.text.startswith(complaint.text)
    assert again.text.endswith(ask(question, Person()).text)
    assert len(complaint.text) < 160


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_choice_offered_is_an_answer(question: FirstQuestion) -> None:
    for choice in ask(question, Person()).choices:
        assert len(choice.key.encode("ascii")) <= 60
        assert isinstance(answer(question, choice.key, AT, Person()), Answered), choice


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_question_fits_on_a_phone(question: FirstQuestion) -> None:
    person = Person(zone="America/Argentina/ComodRivadavia", morning_at=time(7))

    assert len(ask(question, person).text) < 300


@settings(deadline=None)
@given(st.sampled_from(QUESTIONS), st.text(max_size=120))
def test_any_text_is_an_answer_or_a_complaint_and_never_an_error(
    question: FirstQuestion, text: str
) -> None:
    outcome = answer(question, text, AT, Person())

    if isinstance(outcome, Answered):
        after(Dossier(person_key="p"), outcome.events)
    else:
        assert outcome.text
