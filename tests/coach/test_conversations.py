"""Whole conversations with the coach: what a person does, and what comes back."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.culture.journal import Concluded, Reported
from bot.culture.vocabulary import Fed
from bot.turn import Sent
from tests.coach.conversation import Chat, keeper


def texts(messages: list) -> str:  # type: ignore[type-arg]
    return "\n".join(message.plain for message in messages)


# --- somebody with one question -------------------------------------------------------------------


def test_a_passer_by_gets_an_answer_at_once_and_no_questions_about_themselves() -> None:
    chat = Chat("2026-03-02T09:00:00+00:00")

    (answer,) = chat.says("day 4 and no bubbles at all, is it dead?")

    assert answer.verdict == "on-track"
    assert chat.dossier.person.waiting_for is None


def test_a_passer_by_with_mould_is_told_to_throw_it_away() -> None:
    chat = Chat("2026-03-02T09:00:00+00:00")

    (answer,) = chat.says("theres green fuzz on my starter, scrape it off?")

    assert answer.verdict == "discard"


def test_a_greeting_is_greeted_and_offered_a_start() -> None:
    chat = Chat("2026-03-02T09:00:00+00:00")

    (hello,) = chat.says("hi there")

    assert [choice.key for choice in hello.choices] == ["begin"]


# --- the first questions --------------------------------------------------------------------------


def test_five_answers_lead_from_start_to_the_first_mix() -> None:
    chat = Chat("2026-03-02T09:00:00+00:00")

    chat.says("/start")
    for words in ("rye", "about 21", "metric", "at 7:30, Oslo"):
        assert len(chat.says(words)) == 1
    (day_one,) = chat.says("Ember")

    (jar,) = chat.dossier.living
    assert (jar.name, jar.flour) == ("Ember", "rye")
    assert chat.dossier.person.zone == "Europe/Oslo"
    assert chat.dossier.person.kitchen_c == 21.0
    assert "flour" in day_one.plain and " g" in day_one.plain


def test_a_wrong_answer_gets_one_sentence_and_the_question_again() -> None:
    chat = Chat("2026-03-02T09:00:00+00:00")
    chat.says("/start")
    chat.says("white")

    (again,) = chat.says("purple elephants")

    assert chat.dossier.person.waiting_for == "kitchen"
    assert again.choices


def test_every_question_may_be_left_to_its_default() -> None:
    chat = Chat("2026-03-02T09:00:00+00:00")
    chat.says("/start")

    for _ in range(5):
        chat.says("skip")

    assert len(chat.dossier.living) == 1
    assert chat.dossier.person.waiting_for is None


def test_a_worry_in_the_middle_of_the_questions_is_answered_first() -> None:
    chat = Chat("2026-03-02T09:00:00+00:00")
    chat.says("/start")

    said = chat.says("pink streaks in my old one, can I use it?")

    assert said[0].verdict == "discard"
    assert chat.dossier.person.waiting_for == "flour"
    assert len(said) == 2


def test_a_shared_location_answers_where_mornings_begin() -> None:
    chat = Chat("2026-03-02T09:00:00+00:00")
    for words in ("/start", "white", "20", "metric"):
        chat.says(words)

    chat.shares_place(59.91, 10.75)

    assert chat.dossier.person.zone == "Europe/Oslo"
    assert chat.dossier.person.waiting_for == "name"


def test_a_name_full_of_markup_stays_plain_text() -> None:
    chat = Chat("2026-03-02T09:00:00+00:00")
    for words in ("/start", "white", "20", "metric", "8, Oslo"):
        chat.says(words)

    chat.says("<b>Bob</b> & *co*_`")

    assert chat.dossier.living[0].name == "<b>Bob</b> & *co*_`"


# --- reports and corrections ----------------------------------------------------------------------


def test_a_report_is_logged_and_shown_as_understood() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")

    (answer,) = chat.says("doubled, lots of bubbles, 23C", after=timedelta(days=1))

    seen = chat.dossier.living[0].sightings[-1].signs
    assert seen.rise is not None and seen.rise.ratio == 2.0
    assert chat.dossier.person.kitchen_c == 23.0
    assert "23" in answer.text.splitlines()[0]


def test_a_correction_in_words_replaces_what_was_noted() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    chat.says("few bubbles, 34C", after=timedelta(days=1))

    chat.says("sorry, 24 not 34")

    (seen,) = chat.dossier.living[0].sightings
    assert chat.dossier.person.kitchen_c == 24.0
    assert seen.signs.bubbles == "few"


def test_editing_the_message_corrects_what_it_said() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    chat.says("doubled", after=timedelta(days=1))

    (changed,) = chat.edits(1, "nothing yet, no bubbles")

    (seen,) = chat.dossier.living[0].sightings
    assert seen.signs.bubbles == "none"
    assert "ready" not in changed.text


def test_editing_a_message_that_was_never_logged_is_quiet() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    before = chat.dossier.cultures

    said = chat.edits(77, "doubled")

    assert said == []
    assert chat.dossier.cultures == before


def test_a_report_can_be_taken_back_by_a_tap() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    (answer,) = chat.says("fed it", after=timedelta(days=1))

    (how,) = chat.taps("That's not right", of=answer)
    chat.taps("Forget that report", of=how)

    assert not [d for d in chat.dossier.living[0].deeds if isinstance(d.act, Fed)]


@pytest.mark.parametrize(
    "key",
    [
        "say:fed:c1:2026-02-27",
        "say:fed:c9:2026-03-02",
        "q:flour:rye",
        "which:c1",
        "undo:999",
        "next:bake:c7",
        "nonsense",
        "",
        ":::::",
    ],
)
def test_a_stale_tap_changes_nothing_and_says_so(key: str) -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    before = chat.dossier.cultures

    (answer,) = chat.taps_key(key)

    assert chat.dossier.cultures == before
    assert answer.verdict is None


def test_nothing_understood_is_admitted() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")

    (answer,) = chat.says("moja zakwaska nie rosnie")

    assert answer.verdict is None
    assert not [e for e in chat.dossier.journal if isinstance(e.event, Reported)]


def test_why_gives_the_reasons_of_the_last_answer() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    chat.says("no bubbles today, is that normal?", after=timedelta(days=3))

    (reasons,) = chat.says("why?")

    assert "day 4" in reasons.text.lower()


# --- several jars ---------------------------------------------------------------------------------

TWO = {"Ember": "2026-03-02T09:00:00+01:00", "Moss": "2026-03-02T09:00:00+01:00"}


def test_with_two_jars_a_nameless_report_asks_which() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00", jars=dict(TWO))

    (question,) = chat.says("doubled", after=timedelta(days=1))
    chat.taps("Moss", of=question)

    ember, moss = chat.dossier.living
    assert question.verdict == "ask"
    assert not ember.sightings
    assert moss.sightings[-1].signs.rise is not None


def test_with_two_jars_the_name_says_which() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00", jars=dict(TWO))

    chat.says("Moss doubled", after=timedelta(days=1))

    ember, moss = chat.dossier.living
    assert not ember.sightings and moss.sightings


def test_two_jars_in_one_message_are_answered_by_name_under_the_gravest_verdict() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00", jars=dict(TWO))

    (answer,) = chat.says(
        "Ember has lots of bubbles, Moss has green fuzz on it", after=timedelta(days=1)
    )

    assert answer.verdict == "discard"
    assert "Ember" in answer.text and "Moss" in answer.text


def test_thanks_are_taken_kindly_and_change_nothing() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    before = chat.dossier.cultures

    (answer,) = chat.says("thanks!")

    assert "make out" not in answer.text
    assert chat.dossier.cultures == before


def test_a_jar_to_be_thrown_away_is_not_offered_a_look_at_its_peak() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")

    (answer,) = chat.says("fed it but there is green fuzz on top", after=timedelta(days=3))

    assert answer.verdict == "discard"
    assert not [c for c in answer.choices if c.key.startswith("peak:")]


def test_both_means_every_jar() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00", jars=dict(TWO))

    chat.says("fed both", after=timedelta(days=2))

    assert all(isinstance(jar.deeds[-1].act, Fed) for jar in chat.dossier.living)


# --- mornings -------------------------------------------------------------------------------------


def test_each_jar_has_its_own_morning() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00", jars=dict(TWO))

    mornings = chat.waits_until("2026-03-03T08:30:00+01:00")

    assert len(mornings) == 2
    assert "Ember" in mornings[0].plain and "Moss" in mornings[1].plain


def test_pause_until_monday_is_quiet_until_monday_morning() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")  # a Monday
    chat.says("pause until Monday", after=timedelta(days=2))

    quiet = chat.waits_until("2026-03-09T07:59:00+01:00")
    monday = chat.waits_until("2026-03-09T08:00:00+01:00")

    assert quiet == []
    assert len(monday) == 1


def test_stop_is_kept_until_they_say_go_on() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")

    chat.says("STOP")
    silence = chat.waits_until("2026-03-10T12:00:00+01:00")
    chat.says("go on")
    after = chat.waits_until("2026-03-11T08:00:00+01:00")

    assert silence == []
    assert len(after) == 1


def test_another_hour_holds_from_the_next_morning() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")

    chat.says("mornings at 7 please")

    assert chat.waits_until("2026-03-03T06:59:00+01:00") == []
    assert len(chat.waits_until("2026-03-03T07:00:00+01:00")) == 1


def test_a_week_away_moves_mornings_to_the_zone_there_and_back() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")  # Oslo, Monday
    chat.says("I'm in Lisbon this week")

    assert chat.waits_until("2026-03-03T08:30:00+01:00") == []
    assert len(chat.waits_until("2026-03-03T08:00:00+00:00")) == 1
    for day in range(4, 9):
        chat.waits_until(f"2026-03-0{day}T12:00:00+00:00")
        chat.says("few bubbles")
    assert len(chat.waits_until("2026-03-09T08:00:00+01:00")) == 1
    assert chat.dossier.person.zone == "Europe/Oslo"


def test_after_three_silent_mornings_one_kind_line_then_quiet_until_they_write() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")

    said = chat.waits_until("2026-03-20T12:00:00+01:00")
    chat.says("sorry was ill. still alive i think")
    back = chat.waits_until("2026-03-21T08:00:00+01:00")

    assert len(said) == 4
    assert len(back) == 1


def test_a_jar_that_should_be_thrown_away_gets_no_feed_the_next_morning() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    chat.says("blue-green fuzzy mould on top", after=timedelta(days=3))

    (morning,) = chat.waits_until("2026-03-06T08:00:00+01:00")

    assert "flour" not in morning.text
    assert [choice.key for choice in morning.choices] == ["binned:c1", "again:c1"]


def test_thrown_away_and_started_again_by_taps() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    chat.says("blue-green fuzzy mould on top", after=timedelta(days=3))
    (morning,) = chat.waits_until("2026-03-06T08:00:00+01:00")

    (gone,) = chat.taps("It's thrown away", of=morning)
    said = chat.taps("Start a new one", of=gone)

    assert chat.dossier.cultures[0].ended == "binned"
    assert said


# --- the seventh day ------------------------------------------------------------------------------


def ready_chat() -> tuple[Chat, object]:
    chat = keeper("2026-03-02T09:00:00+01:00", kitchen_c=23.0)
    for day in (9, 10):
        chat.waits_until(f"2026-03-{day:02}T14:00:00+01:00")
        chat.says("doubled in 5 hours, smells yeasty")
        chat.says("fed it 1:1:1 at 9", after=timedelta(hours=1))
    chat.waits_until("2026-03-11T14:00:00+01:00")
    (answer,) = chat.says("doubled in 5 hours, smells yeasty. ready?")
    return chat, answer


def test_the_gate_opens_after_three_doublings_in_a_row_and_offers_what_is_next() -> None:
    _, answer = ready_chat()

    assert answer.verdict == "ready"
    assert [c.key for c in answer.choices][:3] == [
        "next:bake:c1",
        "next:rest:c1",
        "next:counter:c1",
    ]


def test_one_good_rise_on_day_seven_does_not_open_the_gate() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    chat.waits_until("2026-03-08T14:00:00+01:00")

    (answer,) = chat.says("doubled in 5 hours! can i bake now?")

    assert answer.verdict != "ready"
    assert chat.waits_until("2026-03-09T08:00:00+01:00")


def test_a_ready_culture_that_rests_has_no_more_daily_mornings() -> None:
    chat, answer = ready_chat()

    (steps,) = chat.taps("Rest it in the fridge", of=answer)

    assert "fridge" in steps.text
    assert chat.waits_until("2026-03-13T12:00:00+01:00") == []


def test_the_seventh_morning_and_every_seventh_after_it_bring_the_week_as_a_picture() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    with_picture = []
    for day in range(3, 17):
        mornings = chat.waits_until(f"2026-03-{day:02}T08:30:00+01:00")
        with_picture += [day for message in mornings if message.chart is not None]
        chat.says("few bubbles, fed it")

    assert with_picture == [8, 15]


# --- things that are not text ---------------------------------------------------------------------


@pytest.mark.parametrize("what", ["photo", "voice", "video", "sticker", "document", "contact"])
def test_what_cannot_be_read_is_answered_once_and_changes_nothing(what: str) -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    before = chat.dossier.cultures

    said = chat.sends(Sent(what=what, at=chat.now))  # type: ignore[arg-type]

    assert len(said) == 1
    assert chat.dossier.cultures == before


def test_a_caption_is_heard_as_words() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")

    (answer,) = chat.sends(Sent(what="photo", caption="green fuzz on top", at=chat.now))

    assert answer.verdict == "discard"


@pytest.mark.parametrize("text", ["", "   \n", "\u200b"])
def test_the_empty_message_gets_a_kind_line(text: str) -> None:
    (answer,) = keeper("2026-03-02T09:00:00+01:00").says(text)

    assert answer.text
    assert answer.verdict is None


def test_everything_concluded_is_kept_with_its_rules() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    (answer,) = chat.says("smells of vinegar", after=timedelta(days=5))

    concluded = [e.event for e in chat.dossier.journal if isinstance(e.event, Concluded)]

    assert concluded[-1].verdict == answer.verdict
    assert concluded[-1].rules == answer.rules
