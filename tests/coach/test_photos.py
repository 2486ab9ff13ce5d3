"""The photo diary: a photo joins its day and its jar; its words are heard; it is never judged."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.culture.journal import Photographed
from bot.turn import Sent
from bot.voice.catalogue import say
from bot.voice.message import Message
from tests.coach.conversation import Chat, keeper

MIXED = "2026-03-02T09:00:00+01:00"
TWO = {"Ember": MIXED, "Moss": MIXED}


def sends(chat: Chat, file: str, caption: str = "", album: str | None = None) -> list[Message]:
    chat.now += timedelta(minutes=1)
    message = f"m{sum(isinstance(e.event, Photographed) for e in chat.dossier.journal) + 1}"
    sent = Sent(what="photo", at=chat.now, caption=caption, message=message, file=file, album=album)
    return chat.sends(sent)


def diary(chat: Chat, key: str = "c1") -> list[str]:
    return [photo.file for photo in chat.dossier.culture(key).photos]


def test_a_photo_joins_the_diary_of_its_day_and_is_not_judged() -> None:
    chat = keeper(MIXED)
    chat.waits_until("2026-03-04T10:00:00+01:00")

    (message,) = sends(chat, "f1")

    assert diary(chat) == ["f1"]
    assert message.text.startswith("In Biscuit's diary, day 3.")
    assert "can't judge a jar from a picture" in message.text
    assert message.verdict is None


def test_only_the_first_photo_comes_with_the_long_explanation() -> None:
    chat = keeper(MIXED)
    (first,) = sends(chat, "f1")
    (second,) = sends(chat, "f2")

    assert "ruler" in first.text
    assert second.text == f"In Biscuit's diary, day 1.\n\n{say('photos.in_words')}"


def test_the_words_under_a_photo_are_heard_as_words_and_the_photo_is_kept() -> None:
    chat = keeper(MIXED)

    (message,) = sends(chat, "f1", "pink streaks on top")

    assert message.verdict == "discard"
    assert diary(chat) == ["f1"]


def test_a_mere_title_under_a_photo_is_no_puzzle() -> None:
    chat = keeper(MIXED)

    (message,) = sends(chat, "f1", "my little friend at the window")

    assert message.text.startswith("In Biscuit's diary")


def test_an_album_is_kept_whole_and_answered_once() -> None:
    chat = keeper(MIXED)

    said = [sends(chat, file, album="a") for file in ("f1", "f2", "f3")]

    assert [len(messages) for messages in said] == [1, 0, 0]
    assert diary(chat) == ["f1", "f2", "f3"]


def test_words_under_a_later_picture_of_an_album_are_heard() -> None:
    chat = keeper(MIXED)
    sends(chat, "f1", album="a")

    (message,) = sends(chat, "f2", "fuzzy green mould in the corner", album="a")

    assert message.verdict == "discard"
    assert diary(chat) == ["f1", "f2"]


def test_an_edit_of_the_words_under_a_photo_corrects_what_was_heard() -> None:
    chat = keeper(MIXED)
    sends(chat, "f1", "doubled, 34 C")

    (message,) = chat.edits(1, "doubled, 24 C")

    assert message.text.startswith(say("coach.corrected"))
    assert diary(chat) == ["f1"]


def test_a_photo_without_a_jar_is_answered_kindly_and_not_kept() -> None:
    chat = Chat(MIXED)

    (message,) = sends(chat, "f1")

    assert message.text.startswith(say("photos.no_jar"))
    assert [choice.key for choice in message.choices] == ["begin"]
    assert not any(isinstance(entry.event, Photographed) for entry in chat.dossier.journal)


def test_a_photo_amid_the_first_questions_leaves_the_question_open() -> None:
    chat = Chat(MIXED)
    (question,) = chat.says("I want to start")

    _, again = sends(chat, "f1")

    assert question.text.endswith(again.text)


def test_with_two_jars_it_asks_once_and_a_tap_settles_the_whole_album() -> None:
    chat = keeper(MIXED, jars=TWO)
    chat.waits_until("2026-03-03T20:00:00+01:00")

    (question,) = sends(chat, "f1", album="a")
    assert sends(chat, "f2", album="a") == []
    assert [choice.label for choice in question.choices] == ["Ember", "Moss"]
    (kept,) = chat.taps("Moss", question)

    assert kept.text.startswith("In Moss's diary, day 2.")
    assert (diary(chat, "c1"), diary(chat, "c2")) == ([], ["f1", "f2"])
    assert chat.dossier.person.waiting_for is None


def test_a_photo_asked_about_belongs_to_the_day_it_was_sent() -> None:
    chat = keeper(MIXED, jars=TWO)
    chat.waits_until("2026-03-03T23:50:00+01:00")
    (question,) = sends(chat, "f1")
    chat.now += timedelta(hours=9)

    (kept,) = chat.taps("Ember", question)

    assert "day 2." in kept.text


@pytest.mark.parametrize("caption", ["Moss", "Moss: doubled", "moss doubled today", "Moss!"])
def test_with_two_jars_the_words_under_it_may_name_one(caption: str) -> None:
    chat = keeper(MIXED, jars=TWO)
    chat.waits_until("2026-03-03T20:00:00+01:00")

    (message,) = sends(chat, "f1", caption)

    assert (diary(chat, "c1"), diary(chat, "c2")) == ([], ["f1"])
    assert message.text != say("coach.which_jar")


def test_a_name_under_a_later_picture_settles_those_before_it() -> None:
    chat = keeper(MIXED, jars=TWO)
    chat.waits_until("2026-03-03T20:00:00+01:00")
    sends(chat, "f1", album="a")

    sends(chat, "f2", "Moss doubled", album="a")

    assert sorted(diary(chat, "c2")) == ["f1", "f2"]
    assert chat.dossier.person.waiting_for is None


def test_a_report_under_a_photo_waits_with_it_to_be_told_its_jar() -> None:
    chat = keeper(MIXED, jars=TWO)
    chat.waits_until("2026-03-03T20:00:00+01:00")

    (question,) = sends(chat, "f1", "doubled, 24 C")
    assert question.text == say("coach.which_jar")
    (answer,) = chat.says("Moss")

    assert answer.verdict == "on-track"
    assert diary(chat, "c2") == ["f1"]
    assert len(chat.dossier.culture("c2").sightings) == 1


def test_an_old_report_is_not_told_again_with_a_photo() -> None:
    chat = keeper(MIXED, jars=TWO)
    chat.waits_until("2026-03-03T20:00:00+01:00")
    chat.says("doubled, 24 C")
    chat.says("Moss")
    chat.waits_until("2026-03-04T20:00:00+01:00")
    (question,) = sends(chat, "f1")

    chat.taps("Ember", question)

    assert diary(chat, "c1") == ["f1"]
    assert chat.dossier.culture("c1").sightings == ()


def test_soon_after_a_jar_was_spoken_of_its_photos_need_no_question() -> None:
    chat = keeper(MIXED, jars=TWO)
    chat.says("Moss doubled")

    sends(chat, "f1")
    sends(chat, "f2")

    assert diary(chat, "c2") == ["f1", "f2"]


def test_a_photo_of_something_else_can_be_taken_out_with_its_album() -> None:
    chat = keeper(MIXED)
    (message,) = sends(chat, "cat", album="a")
    sends(chat, "dog", album="a")
    sends(chat, "jar")

    (out,) = chat.taps("Not for the diary", message)
    (stale,) = chat.taps("Not for the diary", message)

    assert diary(chat) == ["jar"]
    assert out.text == say("photos.dropped")
    assert stale.text == say("coach.stale_tap")


def test_a_photo_of_a_jar_to_be_thrown_away_makes_no_light_of_it() -> None:
    chat = keeper(MIXED)
    chat.says("there is fuzzy green mould on it")

    (message,) = sends(chat, "f1")

    assert message.text == say("coach.after_discard")
    assert diary(chat) == ["f1"]


def test_a_file_too_large_is_refused_in_one_sentence() -> None:
    chat = keeper(MIXED)

    (message,) = chat.sends(Sent(what="too-large", at=chat.now, message="m"))

    assert "20 MB" in message.text
    assert diary(chat) == []


@pytest.mark.parametrize("text", ["show my photos", "/photos", "photos", "/photos Biscuit"])
def test_the_strip_has_the_last_photo_of_each_day(text: str) -> None:
    chat = keeper(MIXED)
    for day, files in ((2, ("a", "b")), (4, ("c",))):
        chat.waits_until(f"2026-03-0{day}T20:00:00+01:00")
        for file in files:
            sends(chat, file)

    (message,) = chat.says(text)

    assert message.strip is not None
    assert [(one.file, one.day) for one in message.strip.snapshots] == [
        ("b", "day 1"), ("c", "day 3"),
    ]  # fmt: skip
    assert message.strip.alt in message.plain
    assert "day 1 Mon 2 Mar, day 3 Wed 4 Mar" in message.strip.alt


def test_the_strip_shows_the_latest_seven_days() -> None:
    chat = keeper(MIXED)
    for day in range(2, 12):
        chat.waits_until(f"2026-03-{day:02}T20:00:00+01:00")
        sends(chat, f"f{day}")

    (message,) = chat.says("my photos")

    assert message.strip is not None
    assert [one.file for one in message.strip.snapshots] == [f"f{day}" for day in range(5, 12)]


def test_on_day_seven_the_strip_comes_by_itself_and_only_then() -> None:
    chat = keeper(MIXED)
    said: list[Message] = []
    for day in range(3, 17):
        said += chat.waits_until(f"2026-03-{day:02}T20:00:00+01:00")
        chat.says("some bubbles")
        sends(chat, f"f{day}")

    assert [message.kind for message in said if message.strip is not None] == ["prompt"]
    seventh = next(index for index, message in enumerate(said) if message.strip is not None)
    assert "7" in (said[seventh - 1].heading or "")


def test_without_photos_there_is_no_strip_on_day_seven() -> None:
    chat = keeper(MIXED)

    said = chat.waits_until("2026-03-10T20:00:00+01:00")

    assert not any(message.strip for message in said)


@pytest.mark.parametrize("text", ["can I send a photo?", "my photos"])
def test_without_photos_it_says_how_and_that_a_terminal_cannot(text: str) -> None:
    (message,) = keeper(MIXED).says(text)

    assert message.text == say("photos.none", name="Biscuit")
    assert "terminal" in message.text


def test_photos_of_a_name_that_no_jar_bears() -> None:
    (message,) = keeper(MIXED).says("/photos Moss")

    assert message.text == say("chart.no_such_jar", name="Moss", names="Biscuit")


def test_without_a_jar_asking_for_photos_offers_a_beginning() -> None:
    (message,) = Chat(MIXED).says("/photos")

    assert [choice.key for choice in message.choices] == ["begin"]
