"""Being asked at the peak, and being reminded of a planned bake: wished for, never imposed."""

from __future__ import annotations

from datetime import datetime, timedelta

from tests.coach.conversation import Chat, keeper


def at_seven_in_the_morning() -> Chat:
    return keeper("2026-07-01T08:00:00+02:00", zone="Europe/Berlin", kitchen_c=24.0)


def test_a_logged_feed_offers_to_ask_at_its_peak_and_only_a_tap_sets_it() -> None:
    chat = at_seven_in_the_morning()

    (answer,) = chat.says("fed it 1:1:1", after=timedelta(days=8, hours=1))
    quiet = chat.waits_until("2026-07-09T21:00:00+02:00")

    assert "Ask me at its peak" in [choice.label for choice in answer.choices]
    assert quiet == []


def test_the_question_at_the_peak_comes_once_and_the_answer_is_logged() -> None:
    chat = at_seven_in_the_morning()
    (answer,) = chat.says("fed it 1:1:1", after=timedelta(days=8, hours=1))

    chat.taps("Ask me at its peak", of=answer)
    (question,) = chat.waits_until("2026-07-09T21:00:00+02:00")
    asked_at = chat.dossier.journal[-1].at
    chat.taps_key(question.choices[0].key)

    fed_at = datetime.fromisoformat("2026-07-09T09:00:00+02:00")
    assert timedelta(hours=3) < asked_at - fed_at < timedelta(hours=12)
    assert chat.dossier.living[0].sightings[-1].signs.rise is not None
    assert chat.dossier.living[0].peak_check_at is None


def test_nobody_is_asked_in_their_night() -> None:
    chat = at_seven_in_the_morning()

    (answer,) = chat.says("fed it 1:1:1", after=timedelta(days=8, hours=13))

    assert "Ask me at its peak" not in [choice.label for choice in answer.choices]


def planned() -> Chat:
    chat = at_seven_in_the_morning()
    chat.waits_until("2026-07-30T20:00:00+02:00")
    (plan,) = chat.says("want to mix dough sunday 5 pm, need 200 g")
    chat.taps("Remind me of each step", of=plan)
    return chat


def test_each_step_of_a_bake_and_its_ripeness_are_reminded_of_in_order() -> None:
    chat = planned()
    bake = chat.dossier.living[0].bake
    assert bake is not None

    said = [m for m in chat.waits_until("2026-08-02T20:00:00+02:00") if "mix" in m.text]

    assert len(said) == len(bake.stages) + 1
    assert "ripe" in said[-1].text


def test_a_step_that_comes_late_moves_the_rest() -> None:
    chat = planned()
    bake = chat.dossier.living[0].bake
    assert bake is not None
    last = bake.stages[-1]
    chat.waits_until((last.at + timedelta(hours=2)).isoformat())

    (answer,) = chat.says("fed it just now 20 g starter 90 g flour 90 g water")

    moved = chat.dossier.living[0].bake
    assert moved is not None
    assert moved.ripe_at - bake.ripe_at > timedelta(hours=1, minutes=45)
    assert "instead" in answer.text


def test_a_step_on_time_moves_nothing() -> None:
    chat = planned()
    bake = chat.dossier.living[0].bake
    assert bake is not None
    chat.waits_until((bake.stages[-1].at + timedelta(minutes=10)).isoformat())

    chat.says("fed it just now")

    moved = chat.dossier.living[0].bake
    assert moved is not None and moved.ripe_at == bake.ripe_at


def test_after_stop_no_reminder_comes() -> None:
    chat = planned()

    chat.says("stop")

    assert chat.waits_until("2026-08-03T20:00:00+02:00") == []
