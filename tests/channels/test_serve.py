"""``jarside serve`` as a process of its own, against a real HTTP server."""

from __future__ import annotations

import asyncio
import os
import signal
import sqlite3
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing, suppress
from pathlib import Path

import httpx
import pytest

from bot.channels.telegram.webhook import PATH, SECRET_HEADER, secret_of
from bot.channels.web import Address
from bot.cli import main
from tests.bot_api.faults import Hangs
from tests.bot_api.people import Person
from tests.bot_api.pusher import push
from tests.bot_api.refusals import Refusal
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving

pytestmark = pytest.mark.timeout(60)


class Serving:
    """The process and what it wrote."""

    def __init__(self, process: asyncio.subprocess.Process) -> None:
        self._process = process

    def kill(self, with_signal: signal.Signals) -> None:
        self._process.send_signal(with_signal)

    async def ended(self) -> tuple[int, str]:
        _, errors = await asyncio.wait_for(self._process.communicate(), 20)
        assert self._process.returncode is not None
        return self._process.returncode, errors.decode()


async def start(database_url: str, service: str, token: str, *options: str) -> Serving:
    environ = {
        **os.environ,
        "JARSIDE_TELEGRAM_TOKEN": token,
        "JARSIDE_TELEGRAM_API_URL": service,
        "JARSIDE_DATABASE_URL": database_url,
        "JARSIDE_LOG_LEVEL": "DEBUG",
    }
    process = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "bot", "serve", *options),
        env={name: value for name, value in environ.items() if value},
        stderr=asyncio.subprocess.PIPE,
    )
    return Serving(process)


@asynccontextmanager
async def running(folder: Path, api: BotApi, *options: str) -> AsyncIterator[Serving]:
    async with serving(api) as service:
        process = await start(f"sqlite:///{folder / 'jarside.db'}", service, api.token, *options)
        try:
            yield process
        finally:
            if process._process.returncode is None:
                process.kill(signal.SIGKILL)
                await process._process.wait()


def free_address() -> str:
    with closing(Address(host="127.0.0.1", port=0).bind()) as taken:
        return f"127.0.0.1:{taken.getsockname()[1]}"


def kept(folder: Path) -> set[str]:
    """The keys of all updates that are durable."""
    with closing(sqlite3.connect(folder / "jarside.db")) as database:
        return {key for (key,) in database.execute("select key from inbox")} | {
            cause for (cause,) in database.execute("select cause from turns")
        }


async def test_a_person_who_writes_is_answered(tmp_path: Path, api: BotApi, ada: Person) -> None:
    async with running(tmp_path, api) as bot:
        ada.writes("/start")
        await api.until(lambda: len(ada.received) >= 1)

        bot.kill(signal.SIGTERM)

        code, errors = await bot.ended()
    assert code == 0
    assert "Traceback" not in errors
    assert ada.last.buttons


async def test_sigterm_in_a_long_poll_ends_it_at_once_and_cleanly(
    tmp_path: Path, api: BotApi
) -> None:
    async with running(tmp_path, api) as bot:
        await api.until(lambda: api.inbox.polls > 0)
        before_s = asyncio.get_running_loop().time()

        bot.kill(signal.SIGTERM)

        code, errors = await bot.ended()
    assert (code, "Traceback" in errors) == (0, False)
    assert asyncio.get_running_loop().time() - before_s < 5


async def test_what_arrived_before_sigterm_is_answered_exactly_once_after_the_next_start(
    tmp_path: Path, api: BotApi, ada: Person
) -> None:
    people = [Person(api, 100 + number) for number in range(20)]
    async with running(tmp_path, api) as bot:
        await api.until(lambda: api.inbox.polls > 0)
        for person in people:
            person.writes("hello")
        await api.until(lambda: len(api.sent) >= 3)
        bot.kill(signal.SIGTERM)
        code, _ = await bot.ended()
    assert code == 0

    async with running(tmp_path, api):
        await api.until(lambda: all(person.received for person in people), within_s=20)
        await asyncio.sleep(0.3)

    assert [len(person.received) for person in people] == [1] * 20


async def test_after_kill_nine_every_message_is_in_the_database_or_still_at_the_service(
    tmp_path: Path, api: BotApi
) -> None:
    people = [Person(api, 100 + number) for number in range(200)]
    wrote = {f"tg:{person.writes('hello')}" for person in people}
    async with running(tmp_path, api) as bot:
        await api.until(lambda: len(api.sent) >= 3)
        bot.kill(signal.SIGKILL)
        await bot.ended()

    unconfirmed = {f"tg:{update['update_id']}" for update in api.inbox.waiting}

    assert len(api.sent) < 200
    assert kept(tmp_path) | unconfirmed == wrote


async def test_a_wrong_token_is_one_clear_sentence_and_exit_code_one(
    tmp_path: Path, api: BotApi
) -> None:
    async with serving(api) as service:
        bot = await start(f"sqlite:///{tmp_path / 'jarside.db'}", service, "4242:wrong-token")
        code, errors = await bot.ended()

    (line,) = errors.strip().splitlines()
    assert code == 1
    assert line.startswith("jarside: Telegram does not know this token")
    assert "wrong-token" not in line


async def test_a_service_that_is_away_at_the_start_and_later_is_waited_for(
    tmp_path: Path, api: BotApi, ada: Person
) -> None:
    api.faults.away(Refusal(502, "Bad Gateway"))
    async with running(tmp_path, api) as bot:
        ada.writes("hello")
        await api.until(lambda: api.faults.count >= 1)
        api.faults.away(None)
        await api.until(lambda: len(ada.received) == 1)
        count = api.faults.count
        api.faults.away(Refusal(502, "Bad Gateway"))
        ada.writes("/help")
        await api.until(lambda: api.faults.count > count)
        api.faults.away(None)
        await api.until(lambda: len(ada.received) == 2, within_s=20)
        bot.kill(signal.SIGTERM)
        code, _ = await bot.ended()
    assert code == 0


async def test_sigterm_while_the_service_hangs_ends_it_all_the_same(
    tmp_path: Path, api: BotApi
) -> None:
    api.faults.away(Hangs())
    async with running(tmp_path, api) as bot:
        await api.until(lambda: api.faults.count >= 1)

        bot.kill(signal.SIGTERM)

        code, errors = await bot.ended()
    assert (code, "Traceback" in errors) == (0, False)


async def test_the_token_is_in_nothing_that_the_process_writes(
    tmp_path: Path, api: BotApi, ada: Person
) -> None:
    api.faults.next("getUpdates", Refusal(500, "Oh"))
    async with running(tmp_path, api) as bot:
        ada.writes("/start")
        await api.until(lambda: len(ada.received) >= 1)
        api.token = "4242:another"
        ada.writes("so that the long poll returns")
        code, errors = await bot.ended()

    assert code == 1
    assert "a-token-of-the-tests" not in errors
    assert errors.strip().splitlines()[-1].startswith("jarside: Telegram does not know this token")


async def test_by_webhook_a_person_is_answered_and_the_public_sees_no_metrics(
    tmp_path: Path, api: BotApi, ada: Person
) -> None:
    public, private = free_address(), free_address()
    options = ("--public-url", f"http://{public}", "--listen", public, "--monitor", private)
    async with running(tmp_path, api, "--webhook", *options) as bot, httpx.AsyncClient() as client:
        await api.until(lambda: api.webhook is not None)
        pushing = asyncio.create_task(push(api))
        ada.writes("/start")
        await api.until(lambda: len(ada.received) >= 1)

        assert (await client.get(f"http://{public}/readyz")).status_code == 200
        assert (await client.get(f"http://{public}/metrics")).status_code == 404
        metrics = (await client.get(f"http://{private}/metrics")).text
        assert "jarside_updates_received_total 1.0" in metrics
        assert 'jarside_sends_total{outcome="sent"} 1.0' in metrics

        pushing.cancel()
        bot.kill(signal.SIGTERM)
        code, errors = await bot.ended()
    assert (code, "Traceback" in errors) == (0, False)


async def test_any_number_of_processes_receive_and_when_one_dies_the_others_go_on(
    postgres_url: str, api: BotApi, ada: Person
) -> None:
    addresses = [free_address(), free_address()]
    async with serving(api) as service, httpx.AsyncClient() as client:

        async def receives(address: str) -> bool:
            ada.writes("/help")
            headers = {SECRET_HEADER: secret_of(api.token)}
            url = f"http://{address}{PATH}"
            answer = await client.post(url, json=api.inbox.waiting[-1], headers=headers)
            return answer.is_success

        options = ("--webhook", "--public-url", "http://bot.test", "--monitor", "127.0.0.1:0")
        bots = [
            await start(postgres_url, service, api.token, *options, "--listen", address)
            for address in addresses
        ]
        await asyncio.gather(*(ready(client, address) for address in addresses))

        assert [await receives(address) for address in addresses] == [True, True]
        await api.until(lambda: len(ada.received) == 2)
        await asyncio.sleep(0.5)  # so that nothing of it is still in the dying hand

        bots[0].kill(signal.SIGKILL)
        await bots[0].ended()
        assert await receives(addresses[1])
        await api.until(lambda: len(ada.received) == 3)

        bots[1].kill(signal.SIGTERM)
        code, errors = await bots[1].ended()
    assert (code, "Traceback" in errors) == (0, False)
    assert api.webhook is not None


async def ready(client: httpx.AsyncClient, address: str) -> None:
    async with asyncio.timeout(20):
        while True:
            with suppress(httpx.ConnectError):
                if (await client.get(f"http://{address}/readyz")).is_success:
                    return
            await asyncio.sleep(0.05)


def refused(monkeypatch: pytest.MonkeyPatch, *options: str, token: str = "4242:a") -> int:
    """The exit code of a serve that never gets as far as the service."""
    monkeypatch.setenv("JARSIDE_TELEGRAM_TOKEN", token)
    monkeypatch.setenv("JARSIDE_TELEGRAM_API_URL", "http://127.0.0.1:1")
    monkeypatch.setenv("JARSIDE_DATABASE_URL", "sqlite:///never/made.db")
    return main(["serve", *options])


def test_no_token_is_one_clear_sentence_and_exit_code_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert refused(monkeypatch, token="") == 1

    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("jarside: JARSIDE_TELEGRAM_TOKEN is not set")


def test_a_taken_port_is_one_clear_sentence_and_exit_code_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with closing(Address(host="127.0.0.1", port=0).bind()) as taken:
        address = f"127.0.0.1:{taken.getsockname()[1]}"
        options = ("--webhook", "--public-url", "http://127.0.0.1:1", "--listen", address)
        assert refused(monkeypatch, *options) == 1

    (line,) = capsys.readouterr().err.splitlines()
    assert line == f"jarside: cannot listen on {address}: Address already in use"


@pytest.mark.parametrize(
    ("options", "code"),
    [
        (("--webhook",), 2),
        (("--public-url", "https://example.org"), 2),
        (("--webhook", "--public-url", "ftp://example.org"), 1),
        (("--webhook", "--public-url", "https://example.org", "--listen", "nowhere"), 1),
        (("--monitor", "nowhere"), 1),
    ],
)
def test_options_that_make_no_sense_are_told_in_one_line(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    options: tuple[str, ...],
    code: int,
) -> None:
    assert refused(monkeypatch, *options) == code

    assert len(capsys.readouterr().err.splitlines()) == 1
