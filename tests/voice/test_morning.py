"""The morning in words: short, exact, in the person's measures, and never frightening."""

from __future__ import annotations

import itertools
import re
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from bot.culture.fold import fold
from bot.culture.journal import (
    Began,
    Concluded,
    Entry,
    Event,
    JarSet,
    KitchenSet,
    MorningsSet,
    Prompted,
    Reported,
    UnitsSet,
    ZoneSet,
)
from bot.culture.state import Dossier
from bot.culture.vocabulary import Fed, Moved, Rise, Signs, Temperature, Units
from bot.plan.stages import morning_plan
from bot.reading.reader import read
from bot.voice.message import Message
from bot.voice.morning import (
    LONGEST,
    first_mix_message,
    kind_line,
    morning_message,
)

OSLO = ZoneInfo("Europe/Oslo")
WARMTHS = (None, 8.0, 14.0, 17.0, 21.0, 24.0, 29.0, 33.0)
SETTLED = (
    r"(throw|toss|bin) (it|this|the (jar|starter|culture|lot|whole \w+))\b",
    r"start (over|again|from scratch|afresh)",
    r"\b(it|starter|culture|yeast)('s| is| has)? (dead|died|killed)",
    r"\bready\b",
    r"\b(you can|time to|go ahead and) bake\b",
)
"""What an ordinary morning must not say, not even in passing."""


def at(day: int, hour: int = 8, minute: int = 0) -> datetime:
    return datetime(2026, 3, 1, hour, minute, tzinfo=OSLO) + timedelta(days=day)


def dossier_of(
    *events: tuple[datetime, Event],
    units: Units = "metric",
    celsius: float | None = 21.0,
    method: str = "full",
    name: str = "Biscuit",
    started: datetime | None = None,
) -> Dossier:
    mixed = started or at(1, 9)
    first: list[tuple[datetime, Event]] = [
        (mixed, ZoneSet(zone="Europe/Oslo")),
        (mixed, UnitsSet(units=units)),
        (mixed, KitchenSet(celsius=celsius)),
        (mixed, MorningsSet(at=time(8))),
        (mixed, Began(name=name, flour="white", method=method, started_at=mixed)),
    ]
    return fold(
        "p",
        [
            Entry(number=number, at=when, event=event, culture=None if number <= 4 else "c1")
            for number, (when, event) in enumerate((*first, *events), 1)
        ],
    )


def morning(dossier: Dossier, day: int) -> Message:
    jar = dossier.cultures[0]
    plan = morning_plan(dossier, jar, at(day).date(), at(day))
    return morning_message(plan, dossier.person, jar)


def fed(day: int, hour: int = 9) -> tuple[datetime, Event]:
    return at(day, hour), Reported(text="fed", acts=(Fed(),))


def fed_daily(until: int) -> list[tuple[datetime, Event]]:
    return [fed(day) for day in range(2, until + 1)]


def test_a_morning_reads_as_written() -> None:
    message = morning(dossier_of(*fed_daily(3)), 4)

    assert message.kind == "prompt"
    assert message.plain == (
        "Day 4 for Biscuit\n"
        "1. Have a look, a sniff at arm's length, and tell me.\n"
        "2. Carry 60 g (two heaping tablespoons) over into a clean jar.\n"
        "3. Add 113 g of flour and 118 g of water; lid on loose.\n"
        "\n"
        "What to expect at 21 °C: few bubbles or none. The first gas makers have stopped and the "
        "yeast is still few: it looks like failure and it is the plan.\n"
        "\n"
        "Today's clue: small bubbles at the glass, and a smell that turns sour.\n"
        "\n"
        "Feed it all the same; the quiet is where most people give up, a few days too early."
    )


def test_a_us_kitchen_gets_grams_first_then_cups_and_fahrenheit() -> None:
    text = morning(dossier_of(*fed_daily(3), units="us"), 4).text

    assert "113 g (4 oz, about 1 cup) of flour" in text
    assert "118 g (1/2 cup) of water" in text
    assert "70 °F" in text


def test_the_thrifty_jar_is_measured_in_spoons() -> None:
    text = morning(dossier_of(*fed_daily(3), units="us", method="thrifty"), 4).text

    assert "15 g (one level tablespoon)" in text
    assert "28 g (1 oz, about 3 1/2 tablespoons) of flour" in text
    assert "30 g (2 tablespoons) of water" in text


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("method", ["full", "thrifty"])
@pytest.mark.parametrize("celsius", WARMTHS)
def test_every_ordinary_morning_is_short_says_what_to_expect_and_promises_nothing(
    units: Units, method: str, celsius: float | None
) -> None:
    for day in range(2, 15):
        for events in (fed_daily(day - 1), fed_daily(day), fed_daily(2)):
            message = morning(dossier_of(*events, units=units, celsius=celsius, method=method), day)

            assert len(message.plain) <= LONGEST, (day, message.plain)
            for words in SETTLED:
                assert not re.search(words, message.plain, re.IGNORECASE), (day, message.plain)
        fresh = morning(
            dossier_of(*fed_daily(day - 1), units=units, celsius=celsius, method=method), day
        )
        assert re.search(r"What to expect|Likely today|\d °[CF]", fresh.text), (day, fresh.plain)


def test_wordings_differ_from_one_day_to_the_next() -> None:
    texts = [morning(dossier_of(*fed_daily(day - 1)), day).text for day in range(8, 16)]

    steps = [text.partition("\n\n")[0] for text in texts]
    assert all(one != other for one, other in itertools.pairwise(steps))


def test_a_cold_morning_says_that_slow_is_not_broken_and_where_it_is_better() -> None:
    text = morning(dossier_of(*fed_daily(4), celsius=16.0), 5).text

    assert "At 16 °C everything takes about twice as long: slow, not broken." in text


def test_a_hot_morning_says_to_move_the_jar() -> None:
    assert "cooler" in morning(dossier_of(*fed_daily(4), celsius=33.0), 5).text


def test_a_jar_fed_today_is_left_in_peace() -> None:
    message = morning(dossier_of(*fed_daily(3), fed(4, 7)), 4)

    assert "07:00" in message.text
    assert "113 g" not in message.text
    assert next(choice.label for choice in message.choices) != "Fed it"


def test_an_evening_feeder_is_told_the_hour() -> None:
    text = morning(dossier_of(fed(2, 21)), 3).text

    assert "21:00" in text


def test_a_missed_day_is_no_harm_and_no_blame() -> None:
    one = morning(dossier_of(*fed_daily(3)), 5).text
    three = morning(dossier_of(*fed_daily(2)), 6).text

    assert one.startswith("I have no feed on my list for yesterday.")
    assert "does no harm" in one
    assert three.startswith("I have no feed on my list for the last 3 days.")


def test_a_jar_too_small_is_told_what_size_would_do() -> None:
    small = (at(1, 10), JarSet(jar_ml=400))

    unfed = morning(dossier_of(small, *fed_daily(3)), 4).text
    fed_today = morning(dossier_of(small, *fed_daily(3), fed(4, 7)), 4).text

    for text in (unfed, fed_today):
        assert "Your 400 ml jar would run over at the feeds of this plan" in text
        assert "about 660 ml" in text
        assert 'say "thrifty"' in text


def test_the_thrifty_method_is_offered_only_where_it_would_help() -> None:
    tiny = (at(1, 10), JarSet(jar_ml=100))

    for plan in ("full", "thrifty"):
        text = morning(dossier_of(tiny, *fed_daily(3), method=plan), 4).text
        assert "would run over" in text
        assert "thrifty" not in text


def test_a_first_mix_in_a_jar_too_small_says_so_at_once() -> None:
    dossier = dossier_of((at(1, 10), JarSet(jar_ml=400)))

    message = first_mix_message(dossier.person, dossier.cultures[0])

    assert "would run over" in message.text
    assert len(message.plain) <= LONGEST


def test_a_jar_in_the_fridge_is_not_fed_and_gets_the_reason() -> None:
    chilled = (at(3, 20), Reported(text="", acts=(Moved(to="fridge"),)))

    text = morning(dossier_of(*fed_daily(3), chilled), 4).text

    assert "no feed today" in text
    assert "113 g" not in text


def test_quick_answers_can_be_tapped_for_this_jar_and_day_only() -> None:
    message = morning(dossier_of(*fed_daily(3)), 4)

    keys = [choice.key for choice in message.choices]
    assert keys[0] == "say:fed:c1:2026-03-05"
    assert all(len(key.encode("ascii")) <= 60 for key in keys)
    assert len(keys) == len(set(keys)) == 5


def test_every_quick_answer_means_something_to_the_reader() -> None:
    dossier = dossier_of(*fed_daily(3))
    first = first_mix_message(dossier.person, dossier.cultures[0])

    for choice in (*morning(dossier, 4).choices, *first.choices):
        reading = read(choice.label, at=at(4), units="metric")
        assert reading.acts or reading.asks or not reading.signs.is_empty, choice.label


def test_the_seventh_day_is_a_gate_and_no_party() -> None:
    text = morning(dossier_of(*fed_daily(6)), 7).text

    assert "Seven days in. The jar decides, not the calendar" in text
    assert re.search(r"some \d+-\d+ days more|up to \d+ days more", text)


def test_a_jar_that_has_come_through_offers_what_comes_next() -> None:
    events: list[tuple[datetime, Event]] = [*fed_daily(9)]
    for day in (7, 8, 9):
        signs = Signs(
            rise=Rise(ratio=2.2, low=2.2, high=2.2),
            hours=6.0,
            temperature=Temperature(celsius=24.0),
        )
        events.append((at(day, 18), Reported(text="", signs=signs)))
    events.sort(key=lambda told: told[0])

    unsaid = morning(dossier_of(*events, celsius=24.0), 10)
    said = morning(dossier_of(*events, (at(9, 19), Concluded(verdict="ready")), celsius=24.0), 10)

    assert "The last 3 rises were full and in time." in unsaid.text
    assert "Biscuit has come through." in said.text
    assert [choice.key for choice in said.choices] == [
        "next:bake:c1",
        "next:rest:c1",
        "next:counter:c1",
    ]


def test_the_kind_line_asks_for_nothing() -> None:
    message = kind_line(dossier_of(), at(6).date())

    assert message.kind == "prompt"
    assert "?" not in message.text
    assert len(message.text) < 350


def test_the_first_mix_names_the_jar_the_amounts_and_the_spot() -> None:
    dossier = dossier_of(units="us")

    message = first_mix_message(dossier.person, dossier.cultures[0])

    assert message.heading == "Day 1 for Biscuit"
    for words in ("quart", "113 g (4 oz, about 1 cup) of flour", "75–79 °F", "loose"):
        assert words in message.text
    assert len(message.plain) <= LONGEST


@pytest.mark.parametrize("name", ["{braces} {0}", "<b>Bob</b>", "100%", "Øl & *Brød*"])
def test_any_name_is_only_a_name(name: str) -> None:
    assert morning(dossier_of(name=name), 2).heading == f"Day 2 for {name}"


def test_a_week_without_feeds_wants_a_close_look_first() -> None:
    text = morning(dossier_of(*fed_daily(3)), 11).text

    assert text.startswith("I have no feed on my list for 7 days.")
    assert text.index("fuzz") < text.index("feed it morning and evening")


def test_a_silent_keeper_is_not_reminded_of_missed_feeds_every_morning() -> None:
    unanswered = [(at(day), Prompted(prompt="morning", local_day=at(day).date())) for day in (4, 5)]

    text = morning(dossier_of(*fed_daily(3), *unanswered), 6).text

    assert "no feed on my list" not in text
