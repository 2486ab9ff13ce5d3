"""Wishes: what people want of the bot itself, and what only sounds like it."""

from __future__ import annotations

import time as stopwatch
from datetime import UTC, date, datetime, time, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.errors import HandbookError
from bot.plan.zones import zone_called
from bot.reading.phrasebook import phrasebook, phrasebook_from
from bot.reading.wishes import (
    Begin,
    FlourWish,
    Help,
    InZone,
    JarIs,
    MethodWish,
    MorningsAt,
    No,
    Pause,
    Rename,
    Resume,
    Skip,
    Stop,
    Today,
    UnitsWish,
    Why,
    Wish,
    Yes,
    clean_name,
    wish,
)
from bot.reading.wishes_within import wish_within

WEDNESDAY = datetime(2026, 3, 4, 8, 20, tzinfo=timezone(timedelta(hours=1)))


def wished(text: str, at: datetime = WEDNESDAY) -> Wish | None:
    return wish(text, at, zone_called)


def march(day: int) -> date:
    return date(2026, 3, day)


SAID: list[tuple[Wish, list[str]]] = [
    (Stop(), ["STOP", "stop", "Stop!", "stop please", "please stop", "/stop", "/stop@jarside_bot",
              "unsubscribe", "no more messages", "stop messaging me", "don't message me anymore",
              "leave me alone", "unsubscibe", "stop writing to me please"]),
    (Pause(until=None), ["pause", "Pause.", "pause for now", "/pause", "take a break",
                         "pause the mornings", "puase for now", "pause until further notice"]),
    (Pause(until=march(9)), ["pause until Monday", "Pause till monday please", "pause til mon",
                             "puase until monday", "pause untill monday", "stop until Monday",
                             "/pause until monday", "/pause monday", "no mornings until Monday",
                             "can you pause until Monday?", "pause until next monday",
                             "hold the mornings until Monday", "pause until Monday morning"]),
    (Pause(until=march(5)), ["pause until tomorrow", "pause till tomorrow", "pause for a day"]),
    (Pause(until=march(11)), ["pause for a week", "pause for one week", "pause 7 days",
                              "pause until wednesday", "no messages for a week", "/pause a week"]),
    (Pause(until=march(14)), ["pause until the 14th", "pause till 14 March", "pause until march 14",
                              "pause until 2026-03-14", "pause until the 14th of march",
                              "pause for ten days", "pause until March 14th, 2026"]),
    (Pause(until=date(2026, 4, 2)), ["pause until the 2nd", "pause until 2 April"]),
    (Resume(), ["go on", "Go on!", "resume", "continue", "/go", "/resume", "i'm back", "I’m back",
                "carry on please", "keep going", "start the mornings again", "unpause"]),
    (MorningsAt(at=time(7)), ["mornings at 7", "mornings at 7 please", "Mornings at 7am",
                              "morning at 7:00", "/mornings 7", "/mornings 07:00", "write me at 7",
                              "wake me at seven", "change the time to 7", "make it 7 am",
                              "7am mornings", "could you write me at 7 instead",
                              "remind me every morning at 7", "mornngs at 7", "mornings at 7 o'clock"]),
    (MorningsAt(at=time(6, 30)), ["mornings at 6:30", "mornings at half past six", "mornings 6.30",
                                  "move the mornings to 6:30am", "mornings at 0630"]),
    (MorningsAt(at=time(19)), ["mornings at 7 pm", "write to me at 19:00"]),
    (MorningsAt(at=None), ["/mornings", "mornings earlier", "change the time"]),
    (InZone(zone="Europe/Lisbon", place="Lisbon", until=march(8)),
     ["I'm in Lisbon this week", "im in Lisbon this week", "in Lisbon this week",
      "I'm in Lisbon until Sunday", "I’m in Lisbon until the 8th", "I'm in Lisbon for 5 days"]),
    (InZone(zone="Europe/Lisbon", place="Lisbon"), ["I'm in Lisbon", "I am in Lisbon now",
                                                    "moved to Lisbon", "my time zone is Lisbon",
                                                    "/zone Lisbon", "I'm flying to Lisbon"]),
    (InZone(zone="America/New_York", place="New York", until=march(17)), ["I'm in New York for two weeks"]),
    (InZone(zone="+02:00", place="UTC+2"), ["timezone UTC+2", "my timezone is UTC+2", "/tz UTC+2"]),
    (InZone(zone=None, place="Xyzzyville"), ["timezone Xyzzyville", "/zone Xyzzyville"]),
    (Why(), ["why", "Why?", "why??", "/why", "how come?", "why do you say that?", "but why"]),
    (Today(), ["today", "Today?", "/today", "what do I do today?", "what should I do today",
               "what's the plan for today?", "plan for today"]),
    (Help(), ["help", "Help!", "/help", "?", "what can you do?", "commands"]),
    (Begin(), ["/start", "start", "I want to begin", "start a new one", "i want to start a starter",
               "start a sourdough starter", "let's go", "new starter please", "start over"]),
    (Begin(name="Rosie"), ["start a new one called Rosie", "new starter named Rosie", "/start Rosie"]),
    (Rename(new="Ember"), ["rename it to Ember", "call it Ember", "Call her Ember!", "/name Ember",
                           "let's call it Ember", "its name is Ember", 'name it "Ember" please',
                           "change the name to Ember"]),
    (Rename(new="Ember", old="Biscuit"), ["rename Biscuit to Ember", "change the name of Biscuit to Ember"]),
    (Rename(new=None), ["rename", "rename it", "/rename"]),
    (UnitsWish(units="metric"), ["metric", "use metric please", "grams please", "/units metric", "celsius"]),
    (UnitsWish(units="us"), ["use cups", "US units", "fahrenheit please", "/units us", "imperial"]),
    (FlourWish(flour="rye"), ["/flour rye", "my flour is rye", "change my flour to rye flour"]),
    (FlourWish(flour="white"), ["/flour all purpose", "use plain flour from now on"]),
    (Skip(), ["skip", "don't know", "dunno", "I don’t know", "not sure", "never mind", "idk", "/skip",
              "nevermnd"]),
    (JarIs(jar_ml=500.0), ["my jar is 500 ml", "jar 500ml", "/jar 500", "it's a 500 ml jar",
                           "the jar holds half a litre", "my jar is 0.5 l"]),
    (JarIs(jar_ml=946.352946), ["my jar is a quart", "it's a quart jar", "/jar 1 quart", "32 oz jar"]),
    (MethodWish(method="thrifty"), ["thrifty", "the thrifty one please", "use less flour", "/method thrifty"]),
    (MethodWish(method="full"), ["the full amounts", "full size please"]),
    (Yes(), ["yes", "Yes!", "yep", "sure", "ok", "yes please", "👍"]),
    (No(), ["no", "No.", "nope", "no thanks", "nah"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "wanted"), [(text, wanted) for wanted, texts in SAID for text in texts]
)
def test_a_wish_is_heard_in_many_wordings(text: str, wanted: Wish) -> None:
    assert wished(text) == wanted


@pytest.mark.parametrize(
    "text",
    [
        # reports
        "it stopped rising", "it has stopped", "stopped feeding it 2 days ago", "bubbles stopped",
        "stop, it smells like acetone", "i had to stop at day 4", "doubled today", "today it doubled",
        "fed it today", "started it yesterday", "started a new one this morning, 50g each",
        "started at 7", "fed at 7", "mixed at 8", "morning, it doubled", "good morning",
        "mornings are cold here, 15C", "no bubbles this morning", "nothing", "none", "no bubbles",
        "no rise", "no, 24 not 34", "yes it doubled", "yes, lots of bubbles", "ok fed it",
        "paused the feeding for a day", "i paused for a week", "it went on the counter",
        "it's in the fridge", "i'm in the kitchen and it smells", "i'm in bed", "I'm in love with this jar",
        "I'm in trouble", "I'm in a hurry", "im at day 4", "i'm on day 5", "it's half a jar", "jar is full",
        "my jar is half full", "half a jar", "the jar is overflowing", "jar 2 doubled",
        "skipped a feed", "skip a feed yesterday", "i don't know if it rose", "not sure it doubled",
        "call it dead", "call it a day", "i call it doubled", "we call it good",
        "rye", "used rye flour today", "my flour is bad", "flour is rye and white, doubled",
        "grams 50", "50 g each", "21 C", "72", "cups of flour: 2", "help my starter is pink",
        "help it smells of vomit", "why is it not rising", "why does it smell", "why not bake today",
        "continue to see bubbles", "in Lisbon it doubled", "smells like the sea in lisbon",
        "starter", "start of day 3 and flat", "begin to see bubbles", "go on counter", "on again off again",
        "full of bubbles", "full jar", "thrifty me used 20g", "less flour today and it was thick",
        # questions of the advice, not of the bot
        "should i stop?", "should I start over?", "start over?", "do i start again?", "can i pause feeding?",
        "should i pause for a week?", "can I go away until Monday?", "what if i stop feeding",
        "what now?", "is it dead", "is it ready", "can i bake today", "when do i feed", "how much flour",
        "what do i do", "what next", "is 500 ml jar ok", "which flour", "metric or cups?", "less flour?", "smaller amounts ok?", "cups?", "my jar is 500 ml?",
        "what does mould look like", "how do i start a starter", "do i feed today?",
        # neither
        "", "   ", ".", "!!!", "...", "please", "hello", "hi", "/", "/foo", "/ stop",
        "mornings at 25", "mornings at teatime", "pause until yesterday", "pause until the 45th",
        "pause until 2020-01-01", "pause for 0 days", "pause for 9999 days", "my jar is 0 ml",
        "my jar is 900 litres", "jar -5", "Стоп", "停", "arrête", "x" * 4096, "stop " * 60,
    ],
)  # fmt: skip
def test_what_only_sounds_like_a_wish_is_left_to_the_reader(text: str) -> None:
    assert wished(text) is None


def test_until_monday_is_said_on_a_monday_of_the_next_one() -> None:
    monday = datetime(2026, 3, 9, 7, tzinfo=timezone(timedelta(hours=1)))

    assert wished("pause until Monday", monday) == Pause(until=march(16))


def test_a_date_without_a_year_is_the_next_one_to_come() -> None:
    december = datetime(2026, 12, 28, 9, tzinfo=timezone(timedelta(hours=1)))

    assert wished("pause until 3 January", december) == Pause(until=date(2027, 1, 3))
    assert wished("pause until the 3rd", december) == Pause(until=date(2027, 1, 3))


def test_the_day_is_the_writer_s_own() -> None:
    # 23:30 on Sunday in Los Angeles is Monday in UTC.
    sunday = datetime(2026, 3, 8, 23, 30, tzinfo=timezone(timedelta(hours=-7)))

    assert wished("pause until Monday", sunday) == Pause(until=march(9))


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("  Ember ", "Ember"),
        ('"Rye Guy"', "Rye Guy"),
        ("<b>Bob</b>", "<b>Bob</b>"),
        ("a\nb\tc", "a b c"),
        ("\u202eevil\u200b\x00", "evil"),
        ("x" * 99, "x" * 40),
        ("🍞", "🍞"),
        ("Мышь", "Мышь"),
        ("", None),
        (" \n\x07 ", None),
        ('""', None),
    ],
)
def test_a_name_is_one_short_line_of_plain_text(text: str, name: str | None) -> None:
    assert clean_name(text) == name


@settings(deadline=None)
@given(st.text(max_size=200))
def test_a_cleaned_name_stays_as_it_is(text: str) -> None:
    name = clean_name(text)

    assert name is None or (clean_name(name) == name and 1 <= len(name) <= 40)


@settings(deadline=None)
@given(st.text(max_size=300), st.datetimes(timezones=st.timezones()))
def test_any_text_at_any_time_is_a_wish_or_none_and_never_an_error(text: str, at: datetime) -> None:
    wish(text, at, lambda _: None)
    wish(f"pause until {text}", at, lambda _: "UTC")
    wish(f"/mornings {text}", at, lambda _: None)
    wish(f"I'm in {text}", at, lambda _: "UTC")


def test_noise_is_told_from_a_wish_in_no_time() -> None:
    noise = ["a" * 4096, "pause until " * 300, "i'm in " * 500, "((((" * 1000, "mornings at 1" * 9]
    wished("warm up")

    began = stopwatch.perf_counter()  # measures our own work, not the time of day
    for text in noise:
        wished(text)

    assert stopwatch.perf_counter() - began < 1.0


def test_no_phrase_stands_for_two_wishes() -> None:
    with pytest.raises(HandbookError, match="'go on' is in"):
        phrasebook_from(_book().replace('phrases = ["rename",', 'phrases = ["go on", "rename",'))


def test_a_phrasebook_with_a_table_missing_is_refused() -> None:
    with pytest.raises(HandbookError, match=r"wishes\.toml"):
        phrasebook_from(_book().replace("[warmth]", "[heat]"))


def test_every_phrase_of_the_book_is_heard_as_what_it_stands_for() -> None:
    unheard = [phrase for phrase in phrasebook().phrases if wished(phrase) is None]

    assert unheard == []


def _book() -> str:
    from importlib import resources

    return (resources.files("bot.handbook") / "en" / "wishes.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "rest"),
    [
        ("pause until friday please, visitors", "visitors"),
        ("fed it. mornings at 7 please", "fed it."),
        ("I'm in Tokyo this week, jar came along", "jar came along"),
        ("can you message me at 6:30 instead from tomorrow? i leave early", "i leave early"),
    ],
)
def test_a_plain_wish_is_found_in_company_and_the_rest_is_left(text: str, rest: str) -> None:
    found = wish_within(text, datetime(2026, 7, 2, 20, tzinfo=UTC), zone_called)

    assert found is not None and found[1] == rest


@pytest.mark.parametrize(
    "text",
    ["fed, few bubbles", "it rose until friday and then stopped", "i'm in love with it, it doubled",
     "i fed it at 7 in the morning, doubled by 9", "stop feeding it? it stopped rising, why"],
)  # fmt: skip
def test_a_report_with_commas_holds_no_wish(text: str) -> None:
    assert wish_within(text, datetime(2026, 7, 2, 20, tzinfo=UTC), zone_called) is None
