"""Each trouble on the way, over a real connection, becomes one of our errors and no other."""

from __future__ import annotations

import pytest
from telegram import error as theirs

from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import Client, new_client
from bot.channels.telegram.faults import AnotherPoller, mapped, ours
from bot.charts import paint_off_loop
from bot.errors import ChannelError, ChatMoved, GoneForGood, Malformed, Refused, TryLater
from bot.voice.message import Choice, Message
from tests.bot_api.faults import Answers, CutsOff, Drips, Hangs, Resets
from tests.bot_api.flood import Flood
from tests.bot_api.people import Person
from tests.bot_api.refusals import Refusal, bad_request
from tests.bot_api.service import BotApi
from tests.channels.sending import HELLO, send, trouble


@pytest.mark.parametrize(
    ("fault", "maybe_arrived"),
    [
        (Refusal(500, "Internal Server Error"), True),
        (Answers(status=502, body=b"<html>Bad Gateway</html>"), True),
        (Answers(status=503), True),
        (Answers(status=200, body=b'{"ok": true, "resu'), True),
        (Answers(status=200, body=b"\xff\xfe"), True),
        (Answers(status=200, body=b'{"ok": true}'), True),
        (Answers(status=200, body=b'{"ok": true, "result": 7}'), True),
        (Answers(status=200, body=b"[1, 2]"), True),
        (Answers(status=200, body=b"null"), True),
        (Answers(status=500, body=b'"odd"'), True),
        (Answers(status=404, body=b'{"ok": false, "parameters": []}'), None),
        (Resets(), True),
        (Resets(done=True), True),
        (CutsOff(), True),
        (CutsOff(honest=False), True),
    ],
)
async def test_trouble_that_may_pass_is_tried_later(
    api: BotApi,
    channel: TelegramChannel,
    ada: Person,
    fault: Answers | Resets | CutsOff | Refusal,
    maybe_arrived: bool | None,
) -> None:
    api.faults.next("sendMessage", fault)

    error = await trouble(channel)

    if maybe_arrived is None:
        assert isinstance(error, Refused)
    else:
        assert isinstance(error, TryLater)
        assert (error.maybe_arrived, error.after_s) == (maybe_arrived, None)
    assert await send(channel)


async def test_nobody_there_certainly_did_not_take_it() -> None:
    client = new_client("1:t", "http://127.0.0.1:9")

    error = await trouble(TelegramChannel(client.bot, paint_off_loop))

    assert isinstance(error, TryLater)
    assert not error.maybe_arrived


@pytest.mark.parametrize("fault", [Hangs(), Hangs(done=True), Drips(every_s=0.05)])
async def test_an_answer_that_never_ends_is_given_up_in_time(
    api: BotApi, client: Client, ada: Person, fault: Hangs | Drips
) -> None:
    api.faults.next("sendMessage", fault)

    with pytest.raises(TryLater) as caught:
        async with mapped(within_s=0.2):
            await client.bot.send_message(77, "Hello.")

    assert caught.value.maybe_arrived


async def test_a_flood_is_waited_out_by_the_whole_bot(
    api: BotApi, channel: TelegramChannel, ada: Person
) -> None:
    api.flood = Flood(per_chat=1, wait_s=7)
    await send(channel)

    error = await trouble(channel)

    assert isinstance(error, TryLater)
    assert (error.after_s, error.everyone, error.maybe_arrived) == (7.0, True, False)


async def test_who_blocked_us_is_gone(channel: TelegramChannel, ada: Person) -> None:
    ada.blocks()

    assert isinstance(await trouble(channel), GoneForGood)


async def test_a_chat_that_nobody_knows_is_gone(channel: TelegramChannel) -> None:
    assert isinstance(await trouble(channel), GoneForGood)


@pytest.mark.parametrize("chat", ["terminal:1", "tg:", "tg:ada", "", "77"])
async def test_an_address_of_another_service_is_gone(channel: TelegramChannel, chat: str) -> None:
    with pytest.raises(GoneForGood):
        await channel.send(chat, HELLO, plain=False)


async def test_a_chat_that_moved_says_where(channel: TelegramChannel, ada: Person) -> None:
    ada.chat.moved_to = -1001234

    error = await trouble(channel)

    assert isinstance(error, ChatMoved)
    assert error.new_chat == "tg:-1001234"


@pytest.mark.parametrize(
    "what",
    [
        "can't parse entities: Unsupported start tag",
        "message is too long",
        "BUTTON_DATA_INVALID",
        "a complaint that nobody has heard yet",
    ],
)
async def test_a_message_at_fault_is_malformed(
    api: BotApi, channel: TelegramChannel, ada: Person, what: str
) -> None:
    api.faults.next("sendMessage", bad_request(what))

    assert isinstance(await trouble(channel), Malformed)


async def test_a_key_too_long_for_a_button_is_malformed(
    channel: TelegramChannel, ada: Person
) -> None:
    message = Message(kind="reply", text="?", choices=(Choice(label="a", key="k" * 65),))

    assert isinstance(await trouble(channel, message), Malformed)


async def test_a_token_that_is_revoked_is_refused(
    api: BotApi, channel: TelegramChannel, ada: Person
) -> None:
    api.token = "4242:another"

    error = await trouble(channel)

    assert isinstance(error, Refused)
    assert "JARSIDE_TELEGRAM_TOKEN" in str(error)


def every_kind() -> list[type[theirs.TelegramError]]:
    """Of the library's errors, found rather than listed."""
    found, waiting = [], [theirs.TelegramError]
    while waiting:
        kind = waiting.pop()
        waiting += kind.__subclasses__()
        found.append(kind)
    return found


NUMBERED = {theirs.ChatMigrated, theirs.RetryAfter}


@pytest.mark.parametrize("kind", every_kind())
async def test_no_error_of_the_library_escapes_nor_its_words(
    client: Client, kind: type[theirs.TelegramError]
) -> None:
    error = kind(3 if kind in NUMBERED else "Secret: 4242:a-token and what Ada wrote")

    with pytest.raises(ChannelError) as caught:
        async with mapped(within_s=1):
            raise error

    assert "4242" not in str(caught.value)
    assert "Ada" not in str(caught.value)


def test_every_kind_of_error_that_the_library_publishes_is_tried() -> None:
    assert {kind.__name__ for kind in every_kind()} == set(theirs.__all__)


def test_two_pollers_are_told_apart_from_other_trouble() -> None:
    assert isinstance(ours(theirs.Conflict("terminated by other getUpdates")), AnotherPoller)


LONE = "half a \ud83c sign"


async def test_a_key_that_cannot_be_written_is_malformed_and_not_tried_for_ever(
    channel: TelegramChannel, ada: Person
) -> None:
    message = Message(kind="reply", text="?", choices=(Choice(label="a", key=LONE),))

    assert isinstance(await trouble(channel, message), Malformed)


async def test_a_text_that_cannot_be_written_is_malformed_and_not_tried_for_ever(
    client: Client, ada: Person
) -> None:
    with pytest.raises(Malformed):
        async with mapped(within_s=5):
            await client.bot.send_message(77, LONE)
