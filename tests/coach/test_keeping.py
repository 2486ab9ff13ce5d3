"""After the gate: a grown culture at home, in the cold, on a journey, in two jars, and given away."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.culture.fold import extend
from bot.culture.journal import Concluded, Entry
from bot.culture.vocabulary import Fed, Started
from tests.coach.conversation import Chat, keeper


def grown(at: str = "2026-03-02T09:00:00+01:00") -> Chat:
    """A keeper whose culture was found ready on its eleventh day."""
    chat = keeper(at)
    chat.waits_until("2026-03-12T09:00:00+01:00")
    ready = Concluded(verdict="ready")
    entry = Entry(number=chat.dossier.last_number + 1, at=chat.now, event=ready, culture="c1")
    chat.dossier = extend(chat.dossier, [entry])
    chat.says("fed it")
    return chat


def test_put_into_the_fridge_by_a_word_it_is_asked_after_once_a_week() -> None:
    chat = grown()

    chat.says("put her in the fridge")
    first = chat.waits_until("2026-03-19T08:00:00+01:00")
    chat.says("fed it")
    second = chat.waits_until("2026-03-26T08:00:00+01:00")

    assert [len(first), len(second)] == [1, 1]
    assert "weekly feed" in first[0].text


def test_taken_out_again_it_has_daily_mornings() -> None:
    chat = grown()
    chat.says("put her in the fridge")

    chat.says("took it out of the fridge", after=timedelta(days=3))

    assert len(chat.waits_until("2026-03-17T08:00:00+01:00")) == 2


def test_a_young_culture_in_the_fridge_still_has_its_mornings() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")

    chat.says("put it in the fridge", after=timedelta(days=3))

    assert len(chat.waits_until("2026-03-06T08:00:00+01:00")) == 1


def test_a_journey_is_quiet_and_the_day_of_return_has_its_morning() -> None:
    chat = grown()

    (answer,) = chat.says("back on the 24th")
    away = chat.waits_until("2026-03-24T07:59:00+01:00")
    home = chat.waits_until("2026-03-24T08:00:00+01:00")

    assert "fridge" in answer.text
    assert away == [] and len(home) == 1


def test_nobody_is_told_to_chill_a_young_culture_for_a_day() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")

    (answer,) = chat.says("i'm away for 2 days", after=timedelta(days=3))

    assert "fridge" not in answer.text


def test_a_revival_is_counted_feed_by_feed_until_it_doubles_in_time() -> None:
    chat = grown()
    chat.says("put her in the fridge")
    chat.waits_until("2026-04-20T09:00:00+02:00")

    chat.says("took it out of the fridge and fed it")
    (morning,) = chat.waits_until("2026-04-21T08:00:00+02:00")
    chat.says("fed it")
    chat.says("doubled in 5 hours", after=timedelta(hours=5))
    (after,) = chat.waits_until("2026-04-22T08:00:00+02:00")

    assert "feed 2 of the" in morning.text
    assert (
        "of the" not in after.text.split("\n\n")[-1] or "feed" not in after.text.split("\n\n")[-1]
    )


def test_split_makes_a_second_jar_as_old_as_the_first() -> None:
    chat = grown()

    chat.says("split it")

    first, second = chat.dossier.living
    assert second.started_at == first.started_at
    assert (first.name, second.name) == ("Biscuit", "Biscuit 2")


def test_a_jar_given_away_has_no_more_mornings() -> None:
    chat = grown()

    chat.says("gave it away")

    assert chat.dossier.living == ()
    assert chat.waits_until("2026-03-20T12:00:00+01:00") == []


def test_a_name_used_twice_is_refused_with_a_sentence() -> None:
    chat = keeper(
        "2026-03-02T09:00:00+01:00",
        jars={"Ember": "2026-03-02T09:00:00+01:00", "Moss": "2026-03-02T09:00:00+01:00"},
    )

    (answer,) = chat.says("rename Moss to Ember")

    assert "already" in answer.text
    assert [jar.name for jar in chat.dossier.living] == ["Ember", "Moss"]


@pytest.mark.parametrize("word", ["done", "mixed it", "/done"])
def test_done_means_what_was_asked_for(word: str) -> None:
    unmixed = keeper("2026-03-02T09:00:00+01:00", jars={"Ember": None})
    mixed = keeper("2026-03-02T09:00:00+01:00")

    unmixed.says(word)
    mixed.says(word, after=timedelta(days=2))

    assert isinstance(unmixed.dossier.living[0].deeds[0].act, Started)
    assert unmixed.dossier.living[0].started_at is not None
    assert isinstance(mixed.dossier.living[0].deeds[0].act, Fed)


def test_the_flour_a_jar_has_taken_is_counted_with_the_plan_s_where_nothing_was_told() -> None:
    chat = keeper("2026-03-02T09:00:00+01:00")
    chat.says("fed it 20 g starter 50 g flour 50 g water", after=timedelta(days=1))
    chat.says("fed it", after=timedelta(days=1))

    (answer,) = chat.says("how much flour have I used?")

    assert "0.16 kg" in answer.text
    assert "2 feeds" in answer.text
