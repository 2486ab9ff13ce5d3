"""Sending over a real connection, and what each trouble on the way becomes."""

from __future__ import annotations

import asyncio

import pytest

from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import Client
from bot.channels.telegram.lanes import lanes
from bot.errors import Malformed
from bot.voice.message import Chart, Choice, Message
from tests.bot_api.people import Person
from tests.bot_api.refusals import Refusal
from tests.bot_api.service import BotApi
from tests.channels.sending import HELLO, send, trouble


async def test_a_message_arrives_with_its_heading_and_choices(
    channel: TelegramChannel, ada: Person
) -> None:
    choices = (Choice(label="Fed it", key="act:fed:c1"), Choice(label="Later", key="later"))
    message = Message(kind="prompt", heading="Day 3 <b>", text="Feed & wait.", choices=choices)

    key = await send(channel, message)

    assert key == f"tg:77:{ada.last.message_id}"
    assert ada.last.text == "Day 3 <b>\nFeed & wait."
    assert ada.last.styled("bold") == ("Day 3 <b>",)
    assert [(one.text, one.data) for one in ada.last.buttons] == [
        ("Fed it", "act:fed:c1"),
        ("Later", "later"),
    ]


async def test_plain_arrives_without_styles_or_buttons(
    channel: TelegramChannel, ada: Person
) -> None:
    choices = (Choice(label="Fed it", key="act:fed:c1"),)

    await send(channel, Message(kind="reply", heading="<i>", text="&", choices=choices), plain=True)

    assert (ada.last.text, ada.last.entities, ada.last.rows) == ("<i>\n&", (), ())


async def test_a_key_of_sixty_bytes_fits_behind_a_button(
    channel: TelegramChannel, ada: Person
) -> None:
    await send(channel, Message(kind="reply", text="?", choices=(Choice(label="a", key="k" * 60),)))

    assert ada.last.buttons[0].data == "k" * 60


async def test_a_long_message_arrives_in_order_and_whole(
    channel: TelegramChannel, ada: Person
) -> None:
    await send(channel, Message(kind="reply", text="0123456789 " * 900))

    assert [len(one.text) <= 4096 for one in ada.received] == [True] * 3
    assert " ".join(one.text for one in ada.received) == ("0123456789 " * 900).strip()


async def test_the_rest_of_a_long_message_follows_without_its_beginning_again(
    api: BotApi, channel: TelegramChannel, ada: Person
) -> None:
    message = Message(kind="reply", text="a" * 4096 + "b" * 4096)
    api.faults.next("sendMessage", None, Refusal(500, "Internal Server Error"))

    await trouble(channel, message)
    await send(channel, message)
    await send(channel, message)

    assert [one.text[0] for one in ada.received] == ["a", "b", "a", "b"]


PNG = b"\x89PNG\r\n\x1a\n and so on"
CHART = Chart(name="week-1", culture="c1", alt="It rose to twice its height.")


async def a_picture(chart: Chart) -> bytes:
    return PNG


async def no_picture(chart: Chart) -> bytes:
    raise RuntimeError("no fonts here")


async def test_a_chart_arrives_as_a_picture_with_the_text_and_its_words_under_it(
    client: Client, ada: Person
) -> None:
    choices = (Choice(label="Fed it", key="fed"),)
    message = Message(kind="reply", heading="Week 1", text="1 < 2", chart=CHART, choices=choices)

    await send(TelegramChannel(client.bot, a_picture), message)

    assert [(one.photo, one.text) for one in ada.received] == [
        (PNG, "Week 1\n1 < 2\n\nIt rose to twice its height.")
    ]
    assert ada.last.styled("bold") == ("Week 1",)
    assert [one.text for one in ada.last.buttons] == ["Fed it"]


async def test_a_text_too_long_to_go_under_a_picture_follows_it(
    client: Client, ada: Person
) -> None:
    message = Message(kind="reply", text="word " * 300, chart=CHART)

    await send(TelegramChannel(client.bot, a_picture), message)

    (picture, words) = ada.received
    assert (picture.photo, picture.text, words.photo) == (PNG, "", None)
    assert words.text.endswith("word \n\nIt rose to twice its height.")


async def test_a_picture_that_cannot_be_painted_is_told_in_words(
    client: Client, ada: Person
) -> None:
    message = Message(kind="reply", text="See:", chart=CHART)

    await send(TelegramChannel(client.bot, no_picture), message)

    assert [one.text for one in ada.received] == ["See:\n\nIt rose to twice its height."]


async def test_a_picture_that_the_service_finds_fault_with_is_malformed_and_plain_is_words(
    client: Client, ada: Person
) -> None:
    async def no_png(chart: Chart) -> bytes:
        return b"not a picture"

    channel = TelegramChannel(client.bot, no_png)
    message = Message(kind="reply", text="See:", chart=CHART)

    assert isinstance(await trouble(channel, message), Malformed)
    await send(channel, message, plain=True)

    assert ada.last.text == "See:\n\nIt rose to twice its height."


LONE = "half a \ud83c sign"


async def test_what_cannot_be_written_is_left_out_and_the_rest_arrives(
    channel: TelegramChannel, ada: Person
) -> None:
    choices = (Choice(label=LONE, key="k"),)

    await send(channel, Message(kind="reply", heading=LONE, text=LONE, choices=choices))

    assert ada.last.text == "half a \ufffd sign\nhalf a \ufffd sign"
    assert ada.last.buttons[0].text == "half a \ufffd sign"


async def test_a_hundred_messages_at_once_arrive_over_few_connections(
    api: BotApi, channel: TelegramChannel
) -> None:
    people = [Person(api, 100 + number) for number in range(100)]

    await asyncio.gather(*(channel.send(f"tg:{who.id}", HELLO, plain=False) for who in people))

    assert [len(who.received) for who in people] == [1] * 100


def test_where_the_environment_names_a_proxy_the_clients_own_way_to_it_is_taken(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for name in ("http_proxy", "https_proxy", "all_proxy"):
        monkeypatch.delenv(name, raising=False)
        monkeypatch.delenv(name.upper(), raising=False)
    assert lanes(2, each=1) is not None

    monkeypatch.setenv("https_proxy", "http://127.0.0.1:3128")

    assert lanes(2, each=1) is None
