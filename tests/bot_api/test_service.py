"""The stand-in keeps the service's published rules: asked over HTTP, as any bot would ask."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator

import httpx
import pytest

from tests.bot_api.faults import Answers, CutsOff, Drips, Hangs, Resets
from tests.bot_api.flood import Flood
from tests.bot_api.people import Person
from tests.bot_api.refusals import Refusal
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving


class Asker:
    """A bot in ten lines."""

    def __init__(self, client: httpx.AsyncClient, address: str, token: str) -> None:
        self._client, self._root = client, f"{address}/bot{token}"

    async def __call__(self, method: str, **values: object) -> dict[str, object]:
        answer = await self._client.post(f"{self._root}/{method}", data=values)
        told = answer.json()
        assert told.get("error_code", 200) == answer.status_code
        return told


@pytest.fixture
def api() -> BotApi:
    return BotApi()


@pytest.fixture
async def ask(api: BotApi) -> AsyncIterator[Asker]:
    async with serving(api) as address, httpx.AsyncClient(timeout=5.0) as client:
        yield Asker(client, address, api.token)


@pytest.fixture
def ada(api: BotApi) -> Person:
    return Person(api, 77)


async def numbers(ask: Asker, **values: object) -> list[int]:
    told = await ask("getUpdates", **values)
    return [update["update_id"] for update in told["result"]]


async def test_an_update_comes_again_until_an_offset_confirms_it(ask: Asker, ada: Person) -> None:
    first, second = ada.writes("one"), ada.writes("two")

    assert await numbers(ask) == [first, second]
    assert await numbers(ask) == [first, second]
    assert await numbers(ask, offset=second) == [second]
    assert await numbers(ask, offset=0) == [second]
    assert await numbers(ask, offset=second + 1) == []


async def test_a_negative_offset_counts_from_the_end_and_forgets_the_rest(
    ask: Asker, ada: Person
) -> None:
    _, second, third = ada.writes("one"), ada.writes("two"), ada.writes("three")

    assert await numbers(ask, offset=-2) == [second, third]
    assert await numbers(ask) == [second, third]


async def test_at_most_a_hundred_updates_come_at_once(ask: Asker, ada: Person) -> None:
    for _ in range(130):
        ada.writes("hello")

    assert len(await numbers(ask)) == 100
    assert len(await numbers(ask, limit=7)) == 7


async def test_a_long_poll_answers_as_soon_as_something_comes(ask: Asker, ada: Person) -> None:
    waiting = asyncio.create_task(numbers(ask, timeout=30))
    await asyncio.sleep(0.05)
    assert not waiting.done()

    number = ada.writes("at last")

    assert await asyncio.wait_for(waiting, 1) == [number]


async def test_a_long_poll_with_no_news_answers_empty_after_its_time(ask: Asker) -> None:
    before = asyncio.get_running_loop().time()

    assert await numbers(ask, timeout=1) == []

    assert asyncio.get_running_loop().time() - before >= 0.9


async def test_a_second_poller_ends_the_first_with_a_conflict(ask: Asker, ada: Person) -> None:
    first = asyncio.create_task(ask("getUpdates", timeout=30))
    await asyncio.sleep(0.05)
    second = asyncio.create_task(numbers(ask, timeout=30))

    assert (await first)["error_code"] == 409

    number = ada.writes("who gets it?")
    assert await second == [number]


async def test_polling_is_refused_while_a_webhook_is_set(ask: Asker) -> None:
    await ask("setWebhook", url="https://example.org/hook")
    assert (await ask("getUpdates"))["error_code"] == 409

    await ask("deleteWebhook")
    assert (await ask("getUpdates"))["ok"]


async def test_only_the_kinds_that_were_asked_for_come_from_then_on(
    ask: Asker, ada: Person
) -> None:
    before = ada.writes("old")
    await ask("getUpdates", allowed_updates='["callback_query"]')
    ada.writes("not wanted")
    tap = ada.taps_data("a")

    assert await numbers(ask) == [before, tap]


async def test_a_wrong_token_is_unauthorised_and_a_malformed_one_not_found(api: BotApi) -> None:
    async with serving(api) as address, httpx.AsyncClient() as client:
        assert (await client.post(f"{address}/bot1:wrong/getMe")).status_code == 401
        assert (await client.post(f"{address}/botnonsense/getMe")).status_code == 404
        assert (await client.post(f"{address}/bot{api.token}/getMeNot")).status_code == 404


async def test_text_is_counted_after_its_markup_is_read(ask: Asker, ada: Person) -> None:
    just = await ask("sendMessage", chat_id=77, text=f"<b>{'&amp;' * 4096}</b>", parse_mode="HTML")
    over = await ask("sendMessage", chat_id=77, text="x" * 4097)

    assert just["ok"]
    assert over["description"] == "Bad Request: message is too long"


@pytest.mark.parametrize(
    ("source", "complaint"),
    [
        ("<b>open", "Can't find end tag"),
        ("shut</b>", "Unexpected end tag"),
        ("<b><i>crossed</b></i>", "Unmatched end tag"),
        ("<blink>no</blink>", "Unsupported start tag"),
        ("1 < 2", "Unescaped"),
        ("flour & water", "Unescaped"),
        ("&nbsp;", "Unsupported entity"),
        ("<b", "Unescaped"),
        ("&amp", "Unescaped"),
    ],
)
async def test_markup_that_is_not_well_formed_is_refused(
    ask: Asker, ada: Person, source: str, complaint: str
) -> None:
    told = await ask("sendMessage", chat_id=77, text=source, parse_mode="HTML")

    assert told["error_code"] == 400
    assert "can't parse entities" in told["description"]
    assert complaint in told["description"]
    assert ada.received == []


async def test_well_formed_markup_becomes_text_and_styles(ask: Asker, ada: Person) -> None:
    source = "\U0001f35e <b>Day 3</b>: 1 &lt; 2 &amp; <i>fine</i>"

    await ask("sendMessage", chat_id=77, text=source, parse_mode="HTML")

    assert ada.last.text == "\U0001f35e Day 3: 1 < 2 & fine"
    assert ada.last.styled("bold") == ("Day 3",)
    assert ada.last.styled("italic") == ("fine",)


@pytest.mark.parametrize(("data", "code"), [("x" * 64, 200), ("x" * 65, 400), ("", 400)])
async def test_a_button_carries_one_to_sixty_four_bytes(
    ask: Asker, ada: Person, data: str, code: int
) -> None:
    keyboard = f'{{"inline_keyboard": [[{{"text": "Go", "callback_data": "{data}"}}]]}}'

    told = await ask("sendMessage", chat_id=77, text="?", reply_markup=keyboard)

    assert told.get("error_code", 200) == code


@pytest.mark.parametrize("text", ["", "  \n ", "<b> </b>"])
async def test_a_message_of_nothing_is_refused(ask: Asker, ada: Person, text: str) -> None:
    told = await ask("sendMessage", chat_id=77, text=text, parse_mode="HTML")

    assert told["description"] == "Bad Request: message text is empty"


async def test_chats_that_are_unknown_blocked_or_moved_refuse_each_in_its_way(
    api: BotApi, ask: Asker, ada: Person
) -> None:
    assert (await ask("sendMessage", chat_id=1, text="?"))["error_code"] == 400

    ada.blocks()
    assert (await ask("sendMessage", chat_id=77, text="?"))["error_code"] == 403

    ada.writes("back")
    ada.chat.moved_to = -1001
    told = await ask("sendMessage", chat_id=77, text="?")
    assert told["parameters"] == {"migrate_to_chat_id": -1001}


async def test_a_flood_is_refused_with_the_seconds_to_wait(
    api: BotApi, ask: Asker, ada: Person
) -> None:
    api.flood = Flood(per_chat=1)

    assert (await ask("sendMessage", chat_id=77, text="1"))["ok"]
    told = await ask("sendMessage", chat_id=77, text="2")
    assert (told["error_code"], told["parameters"]) == (429, {"retry_after": 1})

    await asyncio.sleep(1.05)
    assert (await ask("sendMessage", chat_id=77, text="3"))["ok"]


def test_the_overall_flood_limit_holds_in_any_one_second() -> None:
    flood = Flood(per_second=30)
    for chat in range(30):
        flood.admit(chat, 10.0 + chat / 100)

    with pytest.raises(Refusal):
        flood.admit(99, 10.9)
    flood.admit(99, 11.0)


async def test_a_tap_is_answered_once(ask: Asker) -> None:
    assert (await ask("answerCallbackQuery", callback_query_id="tap-x"))["ok"]
    assert not (await ask("answerCallbackQuery", callback_query_id="tap-x"))["ok"]


async def test_buttons_can_be_taken_away_but_not_twice(ask: Asker, ada: Person) -> None:
    keyboard = '{"inline_keyboard": [[{"text": "Go", "callback_data": "go"}]]}'
    told = await ask("sendMessage", chat_id=77, text="?", reply_markup=keyboard)
    number = told["result"]["message_id"]

    assert (await ask("editMessageReplyMarkup", chat_id=77, message_id=number))["ok"]
    assert ada.last.buttons == ()
    again = await ask("editMessageReplyMarkup", chat_id=77, message_id=number)
    assert again["description"] == "Bad Request: message is not modified"


async def test_a_photo_comes_as_a_form_and_must_be_a_picture(api: BotApi, ada: Person) -> None:
    async with serving(api) as address, httpx.AsyncClient() as client:
        url = f"{address}/bot{api.token}/sendPhoto"
        png = b"\x89PNG\r\n\x1a\nrest"
        form = {"chat_id": "77", "caption": "Biscuit"}

        good = await client.post(url, data=form, files={"photo": ("a.png", png)})
        bad = await client.post(url, data=form, files={"photo": ("a.png", b"text")})

    assert (good.status_code, bad.status_code) == (200, 400)
    assert (ada.last.photo, ada.last.text) == (png, "Biscuit")


async def test_trouble_comes_when_ordered_and_goes(api: BotApi, ask: Asker) -> None:
    api.faults.next("getMe", Refusal(500, "Internal Server Error"), Resets(), CutsOff(done=False))

    assert (await ask("getMe"))["error_code"] == 500
    with pytest.raises(httpx.ReadError):
        await ask("getMe")
    with pytest.raises(httpx.RemoteProtocolError):
        await ask("getMe")
    assert (await ask("getMe"))["ok"]
    assert api.calls == ["getMe"]


async def test_an_answer_may_be_lost_after_the_work_is_done(
    api: BotApi, ask: Asker, ada: Person
) -> None:
    api.faults.next("sendMessage", Resets(done=True), Answers(status=502, done=True))

    with pytest.raises(httpx.ReadError):
        await ask("sendMessage", chat_id=77, text="once")
    await ask._client.post(f"{ask._root}/sendMessage", data={"chat_id": 77, "text": "twice"})

    assert [one.text for one in ada.received] == ["once", "twice"]


async def test_a_hang_and_a_drip_outlast_the_client(api: BotApi) -> None:
    api.faults.next("getMe", Hangs(), Drips(every_s=0.2))
    async with serving(api) as address, httpx.AsyncClient(timeout=0.1) as client:
        for _ in range(2):
            with pytest.raises(httpx.ReadTimeout):
                await client.post(f"{address}/bot{api.token}/getMe")
