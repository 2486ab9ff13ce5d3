"""The webhook over real sockets: who may call, how much, how slowly, and when it says "done"."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import suppress
from dataclasses import dataclass

import httpx
import pytest

from bot.channels.telegram.client import new_client
from bot.channels.telegram.webhook import LARGEST_BODY, PATH, Hook, Webhook, secret_of
from bot.channels.web import Address
from bot.errors import InputError, Refused, SettingsError
from bot.turn import Said, Tapped
from tests.bot_api.people import Person
from tests.bot_api.pusher import SECRET_HEADER, push
from tests.bot_api.refusals import Refusal
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving
from tests.channels.conftest import QUICK, Kept


@dataclass
class Receiving:
    address: str
    host: str
    port: int
    secret: str

    async def post(self, body: bytes, **headers: str) -> httpx.Response:
        async with httpx.AsyncClient() as client:
            return await client.post(self.address + PATH, content=body, headers=headers)

    async def told(self, body: object) -> httpx.Response:
        return await self.post(json.dumps(body).encode(), **{SECRET_HEADER: self.secret})


@pytest.fixture
async def hook(api: BotApi, kept: Kept) -> AsyncIterator[Receiving]:
    """A webhook at work, already known to the service."""
    at = Address(host="127.0.0.1", port=0).bind()
    host, port = at.getsockname()
    address = f"http://{host}:{port}"
    async with serving(api) as service:
        client = new_client(api.token, service)
        webhook = Webhook(
            client,
            token=api.token,
            hook=Hook(public_url=address, at=at),
            clock=api.clock,
            patience=QUICK,
        )
        async with webhook.receiving(kept.receive):
            work = asyncio.create_task(webhook.run(kept.receive))
            await api.until(lambda: api.commands != [])
            yield Receiving(address, host, port, secret_of(api.token))
            work.cancel()
            await asyncio.gather(work, return_exceptions=True)
        await client.bot.shutdown()


async def test_the_service_is_told_where_to_call_and_with_which_secret(
    api: BotApi, hook: Receiving
) -> None:
    assert api.webhook is not None
    assert api.webhook.url == hook.address + PATH
    assert api.webhook.secret == hook.secret
    assert api.token not in api.webhook.secret
    assert api.inbox.wanted == {"message", "edited_message", "callback_query", "inline_query"}


async def test_what_people_write_is_handed_over_and_confirmed(
    api: BotApi, hook: Receiving, ada: Person, kept: Kept
) -> None:
    for number in range(50):
        ada.writes(str(number))
    pushing = asyncio.create_task(push(api))

    await kept.until(50)
    await api.until(lambda: len(api.inbox) == 0)

    pushing.cancel()
    found = sorted(kept.all, key=lambda inbound: inbound.order)
    assert [one.heard.text for one in found if isinstance(one.heard, Said)] == [
        str(number) for number in range(50)
    ]


async def test_done_is_said_only_after_the_update_is_kept(
    api: BotApi, hook: Receiving, ada: Person, kept: Kept
) -> None:
    kept.open.clear()
    ada.writes("do not lose me")
    answering = asyncio.create_task(hook.told(api.inbox.waiting[0]))
    await kept.asked.wait()
    await asyncio.sleep(0.1)
    assert not answering.done()

    kept.open.set()

    assert (await answering).status_code == 200
    assert len(kept.all) == 1


async def test_a_database_that_stays_away_sends_the_service_away_until_later(
    api: BotApi, hook: Receiving, ada: Person, kept: Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.channels.telegram.webhook.KEEP_WITHIN_S", 0.1)
    kept.open.clear()
    ada.writes("later")

    answer = await hook.told(api.inbox.waiting[0])

    assert (answer.status_code, answer.headers["retry-after"]) == (503, "5")


async def test_a_tap_is_acknowledged_in_the_answer_itself(
    api: BotApi, hook: Receiving, ada: Person, kept: Kept
) -> None:
    ada.taps_data("act:fed")
    pushing = asyncio.create_task(push(api))

    await api.until(lambda: len(api.answered) == 1)

    pushing.cancel()
    assert isinstance(kept.heard[0], Tapped)


@pytest.mark.parametrize("secret", [None, "", "wrong", "é", "x" * 64])
async def test_a_caller_without_the_secret_gets_nothing_in(
    api: BotApi, hook: Receiving, ada: Person, kept: Kept, secret: str | None
) -> None:
    ada.writes("forged")
    headers = {} if secret is None else {SECRET_HEADER: secret}
    body = json.dumps(api.inbox.waiting[0]).encode()

    async with httpx.AsyncClient() as client:
        raw = {name: value.encode() for name, value in headers.items()}
        answer = await client.post(hook.address + PATH, content=body, headers=raw)

    assert answer.status_code == 403
    assert kept.all == []


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"[]", b"null", b'{"update_id": "seven"}', b"\xff\xfe", b"[" * 100_000],
)
async def test_what_is_no_update_is_refused(hook: Receiving, kept: Kept, body: bytes) -> None:
    answer = await hook.post(body, **{SECRET_HEADER: hook.secret})

    assert answer.status_code == 400
    assert kept.all == []


async def test_an_update_that_cannot_be_read_is_taken_so_that_it_does_not_come_for_ever(
    hook: Receiving, kept: Kept
) -> None:
    answer = await hook.told({"update_id": 7, "message": {"date": "never"}})

    assert answer.status_code == 200
    assert kept.all == []


async def test_a_body_that_is_too_large_is_refused_by_its_length_before_it_comes(
    hook: Receiving,
) -> None:
    reader, writer = await asyncio.open_connection(hook.host, hook.port)
    head = f"POST {PATH} HTTP/1.1\r\nHost: x\r\n{SECRET_HEADER}: {hook.secret}\r\n"
    writer.write(f"{head}Content-Length: {LARGEST_BODY + 1}\r\n\r\n".encode())

    answer = await asyncio.wait_for(reader.readline(), 3)

    assert b"413" in answer
    writer.close()


async def test_a_body_that_hides_its_length_is_refused_all_the_same(hook: Receiving) -> None:
    async def endless() -> AsyncIterator[bytes]:
        for _ in range(LARGEST_BODY // 65536 + 2):
            yield b"x" * 65536

    async with httpx.AsyncClient() as client:
        headers = {SECRET_HEADER: hook.secret}
        answer = await client.post(hook.address + PATH, content=endless(), headers=headers)

    assert answer.status_code == 413


async def test_only_post_is_answered_and_only_there(hook: Receiving) -> None:
    async with httpx.AsyncClient() as client:
        assert (await client.get(hook.address + PATH)).status_code == 405
        assert (await client.post(f"{hook.address}/elsewhere")).status_code == 404
        assert (await client.get(f"{hook.address}/metrics")).status_code == 404


FORGED = b"POST /telegram HTTP/1.1\r\nHost: x\r\nContent-Length: 0\r\n\r\n"


@pytest.mark.parametrize("first", [b"", FORGED], ids=["at once", "after a whole request"])
async def test_a_caller_that_drips_its_headers_is_cut_off(
    hook: Receiving, monkeypatch: pytest.MonkeyPatch, first: bytes
) -> None:
    monkeypatch.setattr("bot.channels.web.HEAD_WITHIN_S", 0.3)
    reader, writer = await asyncio.open_connection(hook.host, hook.port)
    writer.write(first)
    if first:
        assert b"403" in await reader.readuntil(b"\r\n\r\n")
    writer.write(f"POST {PATH} HTTP/1.1\r\nHost: x\r\nX:".encode())

    async def drip() -> None:
        while True:
            writer.write(b"x")
            await asyncio.sleep(0.05)

    dripping = asyncio.create_task(drip())
    with suppress(ConnectionError):
        assert await asyncio.wait_for(reader.read(1), 3) == b""
    dripping.cancel()
    writer.close()


async def test_a_caller_who_asks_again_and_again_in_time_is_kept(
    hook: Receiving, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.channels.web.HEAD_WITHIN_S", 0.3)
    reader, writer = await asyncio.open_connection(hook.host, hook.port)

    for _ in range(5):
        await asyncio.sleep(0.15)
        writer.write(FORGED)
        assert b"403" in await reader.readuntil(b"\r\n\r\n")

    writer.close()


async def test_a_caller_that_drips_its_body_is_cut_off(
    hook: Receiving, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.channels.telegram.webhook.BODY_WITHIN_S", 0.3)
    reader, writer = await asyncio.open_connection(hook.host, hook.port)
    head = f"POST {PATH} HTTP/1.1\r\nHost: x\r\n{SECRET_HEADER}: {hook.secret}\r\n"
    writer.write(f"{head}Content-Length: 1000\r\n\r\n{{".encode())

    answer = await asyncio.wait_for(reader.readline(), 3)

    assert b"408" in answer
    writer.close()


async def test_slow_callers_keep_nobody_else_out(
    api: BotApi, hook: Receiving, ada: Person, kept: Kept
) -> None:
    slow = [await asyncio.open_connection(hook.host, hook.port) for _ in range(200)]
    for _, writer in slow:
        writer.write(b"POST /telegram HTTP/1.1\r\nHost:")
    ada.writes("am I heard?")

    answer = await asyncio.wait_for(hook.told(api.inbox.waiting[0]), 3)

    assert answer.status_code == 200
    for _, writer in slow:
        writer.close()


async def test_a_service_that_is_away_is_asked_again_to_call_us(api: BotApi, kept: Kept) -> None:
    at = Address(host="127.0.0.1", port=0).bind()
    api.faults.next("setWebhook", Refusal(502, "Bad Gateway"), Refusal(500, "Oh"))
    async with serving(api) as service:
        client = new_client(api.token, service)
        hook = Hook(public_url="http://127.0.0.1:1", at=at)
        webhook = Webhook(client, token=api.token, hook=hook, clock=api.clock, patience=QUICK)
        work = asyncio.create_task(webhook.run(kept.receive))

        await api.until(lambda: api.webhook is not None)

        work.cancel()
        await asyncio.gather(work, return_exceptions=True)
        await client.bot.shutdown()
    at.close()


async def test_a_token_that_is_unknown_ends_it(api: BotApi, kept: Kept) -> None:
    at = Address(host="127.0.0.1", port=0).bind()
    async with serving(api) as service:
        client = new_client("4242:wrong", service)
        hook = Hook(public_url="http://127.0.0.1:1", at=at)
        webhook = Webhook(client, token="4242:wrong", hook=hook, clock=api.clock)

        with pytest.raises(Refused):
            await asyncio.wait_for(webhook.run(kept.receive), 5)

        await client.bot.shutdown()
    at.close()


@pytest.mark.parametrize(
    ("text", "host", "port"),
    [("127.0.0.1:8080", "127.0.0.1", 8080), ("[::1]:0", "::1", 0), ("localhost:1", "localhost", 1)],
)
def test_an_address_is_a_host_and_a_port(text: str, host: str, port: int) -> None:
    assert Address.parse(text) == Address(host=host, port=port)


@pytest.mark.parametrize("text", ["", "8080", ":8080", "host:", "host:x", "host:70000", "h:-1"])
def test_anything_else_is_no_address(text: str) -> None:
    with pytest.raises(InputError, match="host:port"):
        Address.parse(text)


def test_a_port_that_is_taken_is_told_in_one_sentence() -> None:
    first = Address(host="127.0.0.1", port=0).bind()
    port = first.getsockname()[1]

    with pytest.raises(SettingsError, match=f"cannot listen on 127.0.0.1:{port}"):
        Address(host="127.0.0.1", port=port).bind()

    first.close()
