"""What people do on Telegram, and what the core hears of it."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.telegram.client import new_client
from bot.channels.telegram.updates import inbound, one_by_one, update_of
from bot.delivery.ports import Inbound
from bot.turn import Asked, Edited, Located, Said, Sent, Tapped
from tests.bot_api.chats import Chat
from tests.bot_api.people import Group, Person, entities, file, message
from tests.bot_api.service import BotApi

NOW = datetime(2026, 3, 2, 8, 20, tzinfo=UTC)
BOT = new_client("1:t", "http://127.0.0.1:1").bot


@pytest.fixture
def api() -> BotApi:
    return BotApi(clock=lambda: NOW)


@pytest.fixture
def ada(api: BotApi) -> Person:
    return Person(api, 77)


def hears(api: BotApi) -> Inbound | None:
    """The newest update, as the core hears it."""
    update = update_of(dict(api.inbox.waiting[-1]), BOT)
    return inbound(update, username=api.username, now=NOW)


def test_text_is_said_at_the_moment_it_was_written(api: BotApi, ada: Person) -> None:
    number = ada.writes("doubled, 21 C")

    assert hears(api) == Inbound(
        key=f"tg:{number}",
        chat="tg:77",
        heard=Said(text="doubled, 21 C", at=NOW, message="tg:77:1"),
        received_at=NOW,
        order=number,
    )


def test_an_edit_names_the_message_it_corrects(api: BotApi, ada: Person) -> None:
    ada.writes("34 C")
    ada.edits(1, text="24 C")

    assert hears(api).heard == Edited(text="24 C", at=NOW, message="tg:77:1")


def test_a_tap_carries_the_key_of_its_choice(api: BotApi, ada: Person) -> None:
    ada.taps_data("act:fed:c1")

    assert hears(api).heard == Tapped(key="act:fed:c1", at=NOW)


def test_a_tap_under_a_message_too_old_to_be_shown_is_still_heard(api: BotApi, ada: Person) -> None:
    ada.taps_data("stale", sent=None)

    assert hears(api).chat == "tg:77"


def test_a_shared_location_is_two_numbers(api: BotApi, ada: Person) -> None:
    ada.sends(location={"latitude": 59.9, "longitude": 10.7})

    assert hears(api).heard == Located(latitude=59.9, longitude=10.7, at=NOW)


FIELD = st.sampled_from(
    [
        "text",
        "date",
        "edit_date",
        "chat",
        "from",
        "photo",
        "location",
        "sticker",
        "caption",
        "type",
        "id",
        "data",
        "message",
        "message_id",
        "media_group_id",
        "latitude",
        "longitude",
        "voice",
        "entities",
    ]
)
PHOTO = [file("small", width=90, height=90), file("large", width=900, height=900)]
WIDE = {"width": 9, "height": 9}
STICKER = file("s", **WIDE, is_animated=False, is_video=False, type="regular")


@pytest.mark.parametrize(
    ("content", "what", "kept_file"),
    [
        ({"photo": PHOTO}, "photo", "large"),
        ({"voice": file("v", duration=3)}, "voice", "v"),
        ({"audio": file("a", duration=3)}, "voice", "a"),
        ({"video": file("m", **WIDE, duration=3)}, "video", "m"),
        ({"video_note": file("n", length=9, duration=3)}, "video", None),
        ({"sticker": STICKER}, "sticker", None),
        ({"document": file("d", file_name="x.pdf")}, "document", "d"),
        ({"contact": {"phone_number": "1", "first_name": "Bo"}}, "contact", None),
        ({"dice": {"emoji": "\U0001f3b2", "value": 3}}, "other", None),
        (
            {"animation": file("g", **WIDE, duration=1), "document": file("g")},
            "video",
            "g",
        ),
    ],
)
def test_what_is_not_text_is_sent(
    api: BotApi, ada: Person, content: dict[str, object], what: str, kept_file: str | None
) -> None:
    ada.sends(**content)

    assert hears(api).heard == Sent(what=what, at=NOW, message="tg:77:1", file=kept_file)


def test_words_under_a_picture_come_along_and_can_be_edited(api: BotApi, ada: Person) -> None:
    ada.sends(photo=PHOTO, caption="doubled?")
    assert hears(api).heard.caption == "doubled?"

    ada.edits(1, photo=PHOTO, caption="tripled")
    assert hears(api).heard == Edited(text="tripled", at=NOW, message="tg:77:1")


def test_the_photos_of_an_album_are_told_one_by_one_and_belong_together(
    api: BotApi, ada: Person
) -> None:
    found = []
    for _ in range(3):
        ada.sends(photo=PHOTO, media_group_id="9")
        found.append(hears(api))

    assert len({one.key for one in found}) == 3
    assert {one.heard.album for one in found} == {"77:9"}


def test_an_album_of_anything_else_is_one_thing_said_unless_there_are_words_to_it(
    api: BotApi, ada: Person
) -> None:
    keys = []
    for caption in (None, None, "doubled"):
        words = {} if caption is None else {"caption": caption}
        ada.sends(video=file("m", **WIDE, duration=3), media_group_id="9", **words)
        keys.append(hears(api).key)

    assert keys[0] == keys[1] != keys[2]


MB = 1_000_000


@pytest.mark.parametrize(
    ("content", "what"),
    [
        ({"document": file("d", mime_type="image/jpeg")}, "photo"),
        ({"document": file("d", mime_type="image/heic")}, "document"),
        ({"document": file("d") | {"file_size": 30 * MB}}, "document"),
        ({"document": file("d", mime_type="image/png") | {"file_size": 20 * MB}}, "photo"),
        ({"document": file("d", mime_type="image/png") | {"file_size": 20 * MB + 1}}, "too-large"),
        ({"photo": [file("p", width=9, height=9) | {"file_size": 21 * MB}]}, "too-large"),
    ],
)
def test_a_photo_sent_as_a_file_is_a_photo_within_what_the_service_hands_out(
    api: BotApi, ada: Person, content: dict[str, object], what: str
) -> None:
    ada.sends(**content)

    assert hears(api).heard.what == what


@pytest.mark.parametrize(
    "content",
    [
        {"new_chat_title": "x"},
        {"pinned_message": {"message_id": 1, "date": 0, "chat": {"id": 77, "type": "private"}}},
        {"message_auto_delete_timer_changed": {"message_auto_delete_time": 9}},
        {},
    ],
)
def test_the_services_own_notices_are_let_pass(
    api: BotApi, ada: Person, content: dict[str, object]
) -> None:
    ada.sends(**content)

    assert hears(api) is None


def test_an_edit_without_text_is_let_pass(api: BotApi, ada: Person) -> None:
    ada.edits(1, location={"latitude": 1.0, "longitude": 2.0})

    assert hears(api) is None


@pytest.mark.parametrize("kind", ["group", "supergroup", "channel"])
def test_what_is_not_said_to_us_in_groups_and_channels_is_let_pass(api: BotApi, kind: str) -> None:
    chat = api.chats[-5] = Chat(id=-5, kind=kind)
    for update, said in (("message", "hi"), ("edited_message", "ho"), ("channel_post", "hey")):
        api.inbox.add(update, message(api, chat, text=said))
        assert hears(api) is None
    query = {"id": "1", "from": {"id": 5, "is_bot": False, "first_name": "B"}, "data": "x"}
    under = message(api, chat, text="?")
    api.inbox.add("callback_query", query | {"message": under, "chat_instance": "1"})
    assert hears(api) is None


def test_a_channels_post_that_names_us_is_let_pass(api: BotApi) -> None:
    chat = api.chats[-5] = Chat(id=-5, kind="channel")
    text = "@jarside_test_bot mould?"
    api.inbox.add("channel_post", message(api, chat, text=text, entities=entities(text)))

    assert hears(api) is None


@pytest.mark.parametrize("kind", ["group", "supergroup"])
@pytest.mark.parametrize(
    ("written", "asked"),
    [
        ("@jarside_test_bot is hooch bad?", "is hooch bad?"),
        ("\U0001f35e is hooch bad, @Jarside_Test_Bot?", "\U0001f35e is hooch bad, ?"),
        ("@jarside_test_bot: mould", "mould"),
        ("/ask@jarside_test_bot is hooch bad?", "is hooch bad?"),
        ("/today@jarside_test_bot", ""),
    ],
)
def test_in_a_group_what_names_us_is_asked(
    api: BotApi, kind: str, written: str, asked: str
) -> None:
    number = Group(api, -5, kind).somebody_writes(written)

    assert hears(api) == Inbound(
        key=f"tg:{number}",
        chat="tg:-5",
        heard=Asked(text=asked, at=NOW, message="tg:-5:1"),
        received_at=NOW,
        order=number,
    )


@pytest.mark.parametrize(
    "written",
    [
        "is hooch bad?",
        "/today",
        "/today@another_bot",
        "@another_bot is hooch bad?",
        "@jarside_test_bot_fans is hooch bad?",
        "write to me@jarside_test_bot.example",
    ],
)
def test_in_a_group_what_does_not_name_us_is_let_pass(api: BotApi, written: str) -> None:
    Group(api, -5, "supergroup").somebody_writes(written)

    assert hears(api) is None


def test_words_under_a_picture_in_a_group_may_name_us_too(api: BotApi) -> None:
    chat = api.chats[-5] = Chat(id=-5, kind="supergroup")
    text = "@jarside_test_bot mould?"
    told = message(api, chat, photo=PHOTO, caption=text, caption_entities=entities(text))
    api.inbox.add("message", told)

    assert hears(api).heard == Asked(text="mould?", at=NOW, message="tg:-5:1")


def test_what_somebody_posts_through_our_inline_answers_is_not_told_to_us(
    api: BotApi, ada: Person
) -> None:
    us = {"id": 4242, "is_bot": True, "first_name": "J", "username": api.username}
    ada.sends(text="doubled, 21 C", via_bot=us)

    assert hears(api) is None


@pytest.mark.parametrize(
    ("written", "heard"),
    [
        ("/today@jarside_test_bot", "/today"),
        ("/mornings@JARSIDE_TEST_BOT at 7", "/mornings at 7"),
        ("/today@another_bot", "/today@another_bot"),
        ("mail me@jarside_test_bot", "mail me@jarside_test_bot"),
        ("/start deep-link", "/start deep-link"),
    ],
)
def test_our_own_address_after_a_command_is_left_out(
    api: BotApi, ada: Person, written: str, heard: str
) -> None:
    ada.writes(written)

    assert hears(api).heard.text == heard


@given(text=st.text(st.characters(codec=None), max_size=60))
def test_any_text_is_heard_in_a_form_that_can_be_written_down(text: str) -> None:
    api = BotApi(clock=lambda: NOW)
    Person(api, 77).writes(text)

    heard = hears(api).heard

    assert isinstance(heard, Said)
    assert "\x00" not in heard.text
    heard.text.encode("utf-8")


def test_an_unreadable_update_keeps_its_number_and_the_others_keep_their_words(
    api: BotApi, ada: Person
) -> None:
    ada.writes("before")
    api.inbox.put({"update_id": 2000, "message": {"message_id": "odd", "date": "never"}})
    ada.writes("after")

    batch = [dict(update) for update in api.inbox.waiting]
    found = one_by_one(_answer(batch), BOT)

    heard = [inbound(update, username=None, now=NOW) for update in found]
    assert [update.update_id for update in found] == [1001, 2000, 2001]
    assert [one and one.heard.text for one in heard] == ["before", None, "after"]


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(st.characters(codec=None), max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(FIELD, inner, max_size=3),
    max_leaves=8,
)


@given(
    kind=st.sampled_from(["message", "edited_message", "callback_query", "poll", "odd"]),
    odd=st.dictionaries(FIELD, JSON, max_size=4),
)
def test_any_update_with_a_number_is_read_or_let_pass(kind: str, odd: dict[str, object]) -> None:
    api = BotApi(clock=lambda: NOW)
    body = message(api, api.chat(77), text="fed") | {"edit_date": 1, "id": "1"} | odd
    body.setdefault("data", "x")

    update = update_of({"update_id": 7, kind: body}, BOT)
    found = inbound(update, username="b", now=NOW)

    assert update.update_id == 7
    assert found is None or found.order == 7
    if found is not None and isinstance(found.heard, Located):
        assert abs(found.heard.latitude) <= 90
        assert abs(found.heard.longitude) <= 180


@pytest.mark.parametrize(
    "odd",
    [
        {"date": 10**18},
        {"date": -(10**18)},
        {"text": 7},
        {"text": None, "location": {"latitude": 91.0, "longitude": 0.0}},
        {"text": None, "location": {"latitude": float("nan"), "longitude": 0.0}},
        {"text": None, "location": {"latitude": "north", "longitude": 0.0}},
        {"chat": {"id": 77}},
    ],
)
def test_an_update_of_the_wrong_shape_is_let_pass(odd: dict[str, object]) -> None:
    api = BotApi(clock=lambda: NOW)
    body = message(api, api.chat(77), text="fed") | odd

    update = update_of({"update_id": 7, "message": body}, BOT)

    assert inbound(update, username=None, now=NOW) is None


@pytest.mark.parametrize("answer", [b"", b"<html>", b"[]", b'{"result": 3}', b'{"result": [{}]}'])
def test_an_answer_that_is_no_batch_is_a_fault_not_a_crash(answer: bytes) -> None:
    with pytest.raises(ValueError, match=r"answer|number"):
        one_by_one(answer, BOT)


def test_an_update_delivered_twice_has_one_key(api: BotApi, ada: Person) -> None:
    ada.writes("once")

    once, twice = hears(api), hears(api)

    assert once == replace(twice)


def _answer(batch: list[dict[str, object]]) -> bytes:
    return json.dumps({"ok": True, "result": batch}).encode()
