"""Fetching: nothing is confirmed before it is kept, and no trouble ends it."""

from __future__ import annotations

import asyncio
import logging

import pytest

from bot.channels.telegram.client import Client, new_client
from bot.channels.telegram.menu import menu
from bot.channels.telegram.patience import Patience
from bot.channels.telegram.poller import Poller
from bot.errors import Refused
from bot.turn import Said
from tests.bot_api.faults import Answers, CutsOff, Fault, Hangs, Resets
from tests.bot_api.people import Person
from tests.bot_api.refusals import Refusal, bad_request
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving
from tests.channels.conftest import QUICK, Kept


def texts(kept: Kept) -> list[str]:
    return [heard.text for heard in kept.heard if isinstance(heard, Said)]


async def test_what_people_write_is_handed_over_in_order(
    polling: Poller, ada: Person, kept: Kept
) -> None:
    for number in range(120):
        ada.writes(str(number))

    await kept.until(120)

    assert texts(kept) == [str(number) for number in range(120)]


async def test_two_messages_in_one_second_are_two(polling: Poller, ada: Person, kept: Kept) -> None:
    ada.writes("fed")
    ada.writes("and doubled")

    await kept.until(2)

    assert texts(kept) == ["fed", "and doubled"]


async def test_nothing_is_confirmed_before_it_is_kept(
    api: BotApi, polling: Poller, ada: Person, kept: Kept
) -> None:
    kept.open.clear()
    ada.writes("do not lose me")
    await kept.asked.wait()
    await asyncio.sleep(0.1)
    assert (len(api.inbox), api.inbox.confirmed) == (1, 0)

    kept.open.set()

    await api.until(lambda: api.inbox.confirmed == 1)
    assert texts(kept) == ["do not lose me"]


async def test_a_poller_that_dies_before_keeping_leaves_everything_to_the_next(
    api: BotApi, client: Client, ada: Person, kept: Kept
) -> None:
    ada.writes("one")
    ada.writes("two")
    kept.open.clear()
    first = asyncio.create_task(Poller(client, clock=api.clock, patience=QUICK).run(kept.receive))
    await kept.asked.wait()
    first.cancel()
    await asyncio.gather(first, return_exceptions=True)

    kept.open.set()
    second = asyncio.create_task(Poller(client, clock=api.clock, patience=QUICK).run(kept.receive))
    await kept.until(2)
    second.cancel()
    await asyncio.gather(second, return_exceptions=True)

    assert texts(kept) == ["one", "two"]


async def test_what_wants_no_answer_is_confirmed_all_the_same(
    api: BotApi, polling: Poller, ada: Person, kept: Kept
) -> None:
    ada.sends(new_chat_title="x")

    await api.until(lambda: api.inbox.confirmed == 1)

    assert kept.all == []


async def test_an_unreadable_update_holds_nothing_up(
    api: BotApi, polling: Poller, ada: Person, kept: Kept
) -> None:
    ada.writes("before")
    api.inbox.put({"update_id": 5000, "message": {"message_id": 1, "date": "never"}})
    ada.writes("after")

    await kept.until(2)
    await api.until(lambda: len(api.inbox) == 0)

    assert texts(kept) == ["before", "after"]


async def test_a_tap_is_acknowledged_once_it_is_kept(
    api: BotApi, polling: Poller, ada: Person, kept: Kept
) -> None:
    kept.open.clear()
    ada.taps_data("a")
    await kept.asked.wait()
    assert api.answered == []

    kept.open.set()

    await api.until(lambda: len(api.answered) == 1)


async def test_a_tap_that_the_service_has_forgotten_ends_nothing(
    api: BotApi, polling: Poller, ada: Person, kept: Kept
) -> None:
    api.faults.next("answerCallbackQuery", bad_request("query is too old"))
    ada.taps_data("a")
    ada.writes("and on")

    assert len(await kept.until(2)) == 2


async def test_the_menu_is_shown_and_a_webhook_of_before_is_taken_back(
    api: BotApi, client: Client, ada: Person, kept: Kept
) -> None:
    await client.bot.set_webhook("https://example.org/hook")
    ada.writes("hello")
    work = asyncio.create_task(Poller(client, clock=api.clock, patience=QUICK).run(kept.receive))

    await kept.until(1)

    work.cancel()
    await asyncio.gather(work, return_exceptions=True)
    shown = [name for name, _ in api.commands]
    assert shown == [command.command for command in menu()]
    assert {"today", "why", "pause", "stop", "help"} <= set(shown)


async def test_a_bot_without_its_menu_still_works(
    api: BotApi, client: Client, ada: Person, kept: Kept
) -> None:
    api.faults.next("setMyCommands", bad_request("BOT_COMMAND_INVALID"))
    ada.writes("hello")
    work = asyncio.create_task(Poller(client, clock=api.clock, patience=QUICK).run(kept.receive))

    assert await kept.until(1)

    work.cancel()
    await asyncio.gather(work, return_exceptions=True)


TROUBLE: list[Fault] = [
    Refusal(429, "Too Many Requests: retry after 1", retry_after=1),
    Refusal(500, "Internal Server Error"),
    Answers(status=502, body=b"<html>"),
    Answers(status=200, body=b"{not json"),
    Answers(status=200, body=b'{"ok": true, "result": [{"no": "number"}]}'),
    Answers(status=200, body=b'{"ok": true, "result": "odd"}'),
    Answers(status=200, body=b"[]"),
    Refusal(404, "Not Found"),
    Refusal(409, "Conflict: terminated by other getUpdates request"),
    Resets(),
    Resets(done=True),
    CutsOff(),
    CutsOff(honest=False),
]


@pytest.mark.parametrize("fault", TROUBLE, ids=repr)
async def test_every_trouble_while_fetching_passes_and_nothing_is_lost(
    api: BotApi, polling: Poller, ada: Person, kept: Kept, fault: Fault
) -> None:
    await api.until(lambda: "getUpdates" in api.calls)
    api.faults.next("getUpdates", fault)
    ada.writes("one")
    await kept.until(1)
    ada.writes("two")

    await kept.until(2)

    assert texts(kept) == ["one", "two"]


async def test_a_fetch_that_hangs_is_given_up(
    api: BotApi, client: Client, ada: Person, kept: Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.channels.telegram.poller.CALL_WITHIN_S", 0.2)
    patience = Patience(poll_s=0, first_wait_s=0.01)
    api.faults.next("getUpdates", Hangs(), Hangs())
    ada.writes("still here")
    work = asyncio.create_task(Poller(client, clock=api.clock, patience=patience).run(kept.receive))

    assert await kept.until(1)

    work.cancel()
    await asyncio.gather(work, return_exceptions=True)


async def test_a_service_that_is_away_at_the_start_is_waited_for(
    api: BotApi, client: Client, ada: Person, kept: Kept, caplog: pytest.LogCaptureFixture
) -> None:
    await client.bot.shutdown()
    api.faults.away(Refusal(503, "Service Unavailable"))
    ada.writes("hello?")
    with caplog.at_level(logging.INFO, "jarside"):
        poller = Poller(client, clock=api.clock, patience=QUICK)
        work = asyncio.create_task(poller.run(kept.receive))
        await asyncio.sleep(0.3)
        assert not work.done()

        api.faults.away(None)

        assert await kept.until(1)
    work.cancel()
    await asyncio.gather(work, return_exceptions=True)
    events = [record.message for record in caplog.records]
    assert events == ["service-away", "polling", "service-back"]


async def test_a_token_that_is_unknown_at_the_start_ends_it_at_once(
    api: BotApi, kept: Kept
) -> None:
    async with serving(api) as address:
        client = new_client("4242:wrong", address)
        poller = Poller(client, clock=api.clock, patience=QUICK)

        with pytest.raises(Refused, match="JARSIDE_TELEGRAM_TOKEN") as caught:
            await asyncio.wait_for(poller.run(kept.receive), 5)
        await client.bot.shutdown()

    assert "4242:wrong" not in str(caught.value)


async def test_a_token_that_is_revoked_later_ends_it_after_it_is_sure(
    api: BotApi, client: Client, kept: Kept
) -> None:
    poller = Poller(client, clock=api.clock, patience=QUICK)
    work = asyncio.create_task(poller.run(kept.receive))
    await api.until(lambda: "getUpdates" in api.calls)

    api.token = "4242:another"

    with pytest.raises(Refused):
        await asyncio.wait_for(work, 5)


async def test_another_poller_is_named_in_one_clear_line(
    api: BotApi, polling: Poller, ada: Person, kept: Kept, caplog: pytest.LogCaptureFixture
) -> None:
    await api.until(lambda: "getUpdates" in api.calls)
    conflict = Refusal(409, "Conflict: terminated by other getUpdates request")
    with caplog.at_level(logging.INFO, "jarside"):
        api.faults.next("getUpdates", *[conflict] * 5)
        ada.writes("one")
        ada.writes("two")
        await kept.until(2)
        ada.writes("three")
        await kept.until(3)

    lines = [record for record in caplog.records if record.message == "service-away"]
    assert len(lines) == 1
    assert "stop one of the two" in vars(lines[0])["why"]


async def test_the_time_since_the_last_fetch_is_watched_while_it_is_ours_to_fetch(
    api: BotApi, client: Client, ada: Person, kept: Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    poller = Poller(client, clock=api.clock, patience=QUICK)
    assert (poller.silent_for_s(), poller.trouble()) == (None, None)

    work = asyncio.create_task(poller.run(kept.receive))
    await asyncio.sleep(0)
    assert poller.trouble() == "the messaging service has not answered yet"

    await api.until(lambda: api.calls.count("getUpdates") >= 2)
    fresh = poller.silent_for_s()
    assert fresh is not None
    assert fresh < 1.5
    assert poller.trouble() is None

    api.faults.away(Hangs())
    ada.writes("the last that came through")
    await kept.until(1)
    await asyncio.sleep(0.4)
    silent = poller.silent_for_s()
    assert silent is not None
    assert silent >= 0.4
    monkeypatch.setattr("bot.channels.telegram.poller.CALL_WITHIN_S", -0.9)
    assert poller.trouble() == "the messaging service does not answer"

    work.cancel()
    await asyncio.gather(work, return_exceptions=True)
    assert (poller.silent_for_s(), poller.trouble()) == (None, None)


def test_waits_double_with_jitter_up_to_the_longest_or_are_as_long_as_asked() -> None:
    patience = Patience(first_wait_s=1.0, longest_wait_s=30.0)

    for tries, most in [(1, 1.0), (2, 2.0), (5, 16.0), (6, 30.0), (500, 30.0)]:
        waits = [patience.wait_s(tries, after_s=None) for _ in range(50)]
        assert most / 2 <= min(waits) <= max(waits) <= most
        assert len(set(waits)) > 1
    assert patience.wait_s(3, after_s=35.0) == 35.0
