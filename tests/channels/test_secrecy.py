"""The token and people's words stay out of every log line, at every level and through every fault."""

from __future__ import annotations

import asyncio
import io
import logging
import sys
import traceback
from collections.abc import Iterator

import pytest

from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import new_client
from bot.channels.telegram.poller import Poller
from bot.charts import paint_off_loop
from bot.errors import ChannelError, Refused
from bot.logs import OURS, log_to
from bot.voice.message import Message
from tests.bot_api.faults import Answers, CutsOff, Resets
from tests.bot_api.people import Person
from tests.bot_api.refusals import Refusal
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving
from tests.channels.conftest import QUICK, Kept

WORDS = "my grandmother's secret rye"
FAULTS = [
    Refusal(400, f"Bad Request: can't parse {WORDS}"),
    Refusal(500, "Oh"),
    Answers(status=200, body=WORDS.encode()),
    Answers(status=502, body=WORDS.encode()),
    Answers(status=418, body=b'{"description": "odd", "parameters": {"x": "y"}}'),
    Resets(),
    CutsOff(),
]


@pytest.fixture
def everything() -> Iterator[io.StringIO]:
    """All that any logger says, at the lowest level."""
    heard = io.StringIO()
    handler = logging.StreamHandler(heard)
    root = logging.getLogger()
    before = root.level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield heard
    root.removeHandler(handler)
    root.setLevel(before)


async def test_neither_token_nor_words_reach_any_log_at_debug_through_every_fault(
    api: BotApi, ada: Person, kept: Kept, everything: io.StringIO
) -> None:
    shown = ""
    async with serving(api) as address:
        client = new_client(api.token, address)
        work = asyncio.create_task(
            Poller(client, clock=api.clock, patience=QUICK).run(kept.receive)
        )
        await api.until(lambda: api.inbox.polls > 0)
        for count, fault in enumerate(FAULTS, start=1):
            api.faults.next("getUpdates", fault)
            ada.writes(WORDS)
            await kept.until(count)
            api.faults.next("sendMessage", fault)
            channel = TelegramChannel(client.bot, paint_off_loop)
            try:
                await channel.send("tg:77", Message(kind="reply", text=WORDS), plain=False)
            except ChannelError:
                shown += traceback.format_exc()
        api.inbox.put({"update_id": 9000, "message": {"text": WORDS, "date": "never"}})
        await api.until(lambda: len(api.inbox) == 0)
        api.token = "4242:another"
        with pytest.raises(Refused) as caught:
            await work
        shown += "".join(traceback.format_exception(caught.value))
        await client.bot.shutdown()

    said = everything.getvalue() + shown
    assert "service-away" in said
    assert "update-unreadable" in said
    assert "a-token-of-the-tests" not in said
    assert WORDS not in said


@pytest.fixture
def quiet_root() -> Iterator[None]:
    root, ours = logging.getLogger(), logging.getLogger(OURS)
    handlers, levels = root.handlers[:], (root.level, ours.level)
    yield
    root.handlers[:] = handlers
    root.setLevel(levels[0])
    ours.setLevel(levels[1])


@pytest.fixture
def lines(quiet_root: None) -> io.StringIO:
    stream = io.StringIO()
    log_to(stream, level="INFO", secrets=["4242:a-token"])
    return stream


def test_a_log_line_is_the_event_and_its_fields(lines: io.StringIO) -> None:
    logging.getLogger("jarside.delivery").warning(
        "database-away", extra={"action": "receive", "why": 'it said "no"', "tries": 3}
    )

    _, _, rest = lines.getvalue().partition(" ")
    assert rest == (
        "WARNING jarside.delivery database-away action=receive why='it said \"no\"' tries=3\n"
    )


def test_a_field_cannot_forge_a_second_line(lines: io.StringIO) -> None:
    logging.getLogger("jarside.x").warning("odd", extra={"why": "a\nERROR forged"})

    assert lines.getvalue().count("\n") == 1


def test_only_our_own_loggers_speak_below_warning(lines: io.StringIO) -> None:
    logging.getLogger("jarside.x").info("ours")
    logging.getLogger("jarside.x").debug("too small")
    logging.getLogger("aiosqlite").info("INSERT what Ada said")

    assert lines.getvalue().count("\n") == 1


def test_a_secret_that_slips_into_a_line_or_a_traceback_is_covered(lines: io.StringIO) -> None:
    try:
        raise ValueError("http://x/bot4242:a-token/getMe")
    except ValueError:
        logging.getLogger("somebody").exception("failed at %s", "bot4242:a-token")

    assert "4242:a-token" not in lines.getvalue()
    assert lines.getvalue().count("<secret>") == 3


def test_without_a_stream_the_log_goes_to_standard_error(
    quiet_root: None, capsys: pytest.CaptureFixture[str]
) -> None:
    log_to(None, level="INFO", secrets=[])

    assert [vars(handler)["stream"] for handler in logging.getLogger().handlers] == [sys.stderr]
