"""The first week over the Bot API: set-up, mornings, reports, mistakes, all on a clock that is moved."""

from __future__ import annotations

import io
import json
from collections.abc import AsyncIterator
from datetime import UTC, datetime, timedelta

import pytest

from bot.channels.telegram.menu import menu
from bot.commands.replay import run as replay
from bot.voice.catalogue import say
from storage import open_store
from storage.store import SqlStore
from tests.bot_api.chats import Chat
from tests.bot_api.people import file, message
from tests.channels.week import HISTORIES, Kitchen, history, kitchen

MONDAY = datetime.fromisoformat("2026-03-02T18:00:00+01:00")
SET_UP = ["/start", "white", "about 21", "grams", "8, Oslo", "Juniper"]


@pytest.fixture
async def home(sqlite_url: str) -> AsyncIterator[Kitchen]:
    store = await open_store(sqlite_url)
    async with kitchen(store, MONDAY) as found:
        yield found
    await store.close()


@pytest.fixture
async def juniper(home: Kitchen) -> Kitchen:
    """The first questions are answered and the first mix is made."""
    for text in (*SET_UP, "mixed it! 113 g flour and 118 g water"):
        await home.says(text)
    return home


async def test_the_week_over_the_bot_api_is_word_for_word_the_week_of_replay(
    store: SqlStore,
) -> None:
    told = io.StringIO()
    replay(io.StringIO((HISTORIES / "first_week.jsonl").read_text(encoding="utf-8")), told)
    expected = [json.loads(line) for line in told.getvalue().splitlines()]

    async with kitchen(store, MONDAY) as home:
        for at, text in history("first_week.jsonl"):
            await home.at(at)
            if text is not None:
                await home.says(text)

    received = home.person.received
    assert [sent.text for sent in received] == [row["text"].strip() for row in expected]
    for sent, row in zip(received, expected, strict=True):
        late = sent.at - datetime.fromisoformat(row["at"])
        assert timedelta(0) <= late < timedelta(seconds=5)


async def test_every_morning_of_a_week_comes_at_eight_by_the_clock_on_the_wall(
    juniper: Kitchen,
) -> None:
    before = len(juniper.person.received)
    await juniper.at(datetime.fromisoformat("2026-03-03T07:59:00+01:00"))
    assert len(juniper.person.received) == before

    for day in range(3, 9):
        await juniper.at(datetime.fromisoformat(f"2026-03-{day:02}T08:30:00+01:00"))
        await juniper.says("fed it")

    prompts = [sent for sent in juniper.person.received if sent.styled("bold")]
    assert [sent.at.astimezone(UTC).strftime("%d %H:%M") for sent in prompts[-6:]] == [
        f"{day:02} 07:00" for day in range(3, 9)
    ]


async def test_a_choice_is_tapped_instead_of_typed(home: Kitchen) -> None:
    await home.says("/start")
    home.person.taps("White")
    await home.heard()

    assert "How warm is your kitchen" in home.person.last.text
    assert len(home.api.answered) == 1


async def test_a_city_may_be_shared_as_a_location(home: Kitchen) -> None:
    for text in SET_UP[:4]:
        await home.says(text)

    home.person.sends(location={"latitude": 59.91, "longitude": 10.75})
    await home.heard()
    answers = [home.person.last.text, *await home.says("8:00")]

    assert any("Oslo" in answer for answer in answers)


async def test_an_edit_corrects_the_report_it_was(juniper: Kitchen) -> None:
    await juniper.at(MONDAY + timedelta(days=2))
    await juniper.says("no change, 34 C in here")
    written = juniper.person.last.message_id - 1

    juniper.person.edits(written, text="no change, 24 C in here")
    await juniper.heard()

    assert "24 °C" in juniper.person.last.text
    assert "34" not in juniper.person.last.text


NOISE = "".join(chr(0x21 + number * 7 % 0x5E) for number in range(4096))

NOT_TEXT: dict[str, dict[str, object]] = {
    "sticker": {
        "sticker": file("s", width=9, height=9, is_animated=False, is_video=False, type="regular")
    },
    "voice note": {"voice": file("v", duration=3)},
    "video": {"video": file("m", width=9, height=9, duration=3)},
    "document": {"document": file("d", file_name="x.pdf")},
    "contact": {"contact": {"phone_number": "1", "first_name": "Bo"}},
    "dice": {"dice": {"emoji": "\U0001f3b2", "value": 3}},
}
ODD_TEXT = {
    "noise of 4,096 characters": NOISE,
    "another script": "私のスターターは元気ですか",
    "markup": "<b>bold</b> & <script>alert(1)</script> [x](y) *z*",
    "an unknown command": "/frobnicate now",
    "blanks": " \u2003 ",
    "controls": "a\x00b\x07c\u202ed",
}


@pytest.mark.parametrize("what", NOT_TEXT)
async def test_what_is_not_text_gets_one_reply_and_logs_nothing(
    juniper: Kitchen, what: str
) -> None:
    await fitting_reply(juniper, what, NOT_TEXT[what])


@pytest.mark.parametrize("what", ODD_TEXT)
async def test_odd_text_gets_one_reply_and_changes_nothing(juniper: Kitchen, what: str) -> None:
    await fitting_reply(juniper, what, {"text": ODD_TEXT[what]})


async def fitting_reply(home: Kitchen, what: str, content: dict[str, object]) -> None:
    before, log = len(home.person.received), await home.logged()

    home.person.sends(**content)
    await home.heard()

    (reply,) = home.person.received[before:]
    assert "fault is mine" not in reply.text, what
    assert log
    assert await home.logged() == log


async def test_a_stale_tap_gets_one_reply_and_changes_nothing(juniper: Kitchen) -> None:
    log = await juniper.logged()
    for data in ("no-such-key", "act:fed:c9:1999-01-01", "ask:flour:white"):
        before = len(juniper.person.received)
        juniper.person.taps_data(data)
        await juniper.heard()
        assert len(juniper.person.received) == before + 1

    assert await juniper.logged() == log


async def test_groups_and_channels_are_answered_with_quiet(juniper: Kitchen) -> None:
    before = len(juniper.api.sent)
    for kind in ("group", "supergroup", "channel"):
        chat = juniper.api.chats[-5] = Chat(id=-5, kind=kind)
        said = message(juniper.api, chat, text="doubled, 21C")
        juniper.api.inbox.add("channel_post" if kind == "channel" else "message", said)
    await juniper.heard()

    assert len(juniper.api.sent) == before


async def test_two_messages_in_one_second_get_one_answer_each(juniper: Kitchen) -> None:
    before = len(juniper.person.received)
    juniper.person.writes("fed it, 25 g of starter, 25 g flour, 25 g water")
    juniper.person.writes("few bubbles, smells sour")

    await juniper.heard()
    await juniper.at(juniper.clock.now() + timedelta(seconds=10))

    assert len(juniper.person.received) == before + 2


async def test_a_name_full_of_markup_is_shown_as_it_was_given(home: Kitchen) -> None:
    home.person.chat.first_name = "<b>Bobby</b> & <a href='x'>"
    for text in (*SET_UP[:5], '<b>&Bub</b> "x" _y_'):
        await home.says(text)

    assert home.person.received
    assert "<b>&Bub</b>" in home.person.last.text


async def test_a_message_delivered_twice_is_answered_once(juniper: Kitchen) -> None:
    before = len(juniper.person.received)
    juniper.person.writes("few bubbles")
    twice = dict(juniper.api.inbox.waiting[-1])
    await juniper.heard()
    juniper.api.inbox.put(twice)
    await juniper.heard()

    assert len(juniper.person.received) == before + 1


async def test_who_blocked_the_bot_is_left_in_peace_and_comes_back_by_writing(
    juniper: Kitchen,
) -> None:
    await juniper.at(MONDAY + timedelta(hours=1))
    juniper.person.blocks()
    before = len(juniper.person.received)
    tries = juniper.api.calls.count("sendMessage")

    await juniper.at(MONDAY + timedelta(days=3))

    assert len(juniper.person.received) == before
    assert juniper.api.calls.count("sendMessage") == tries + 1

    assert await juniper.says("I am back. few bubbles, 21 C")
    before = len(juniper.person.received)
    await juniper.at(MONDAY + timedelta(days=4))
    assert len(juniper.person.received) == before + 1


async def test_every_command_of_the_menu_is_understood(juniper: Kitchen) -> None:
    for command in menu():
        (reply, *_) = await juniper.says(f"/{command.command}")

        assert reply != say("coach.nothing_understood"), command.command
