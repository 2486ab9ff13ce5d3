"""What a machine may ask of a running bot."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from starlette.applications import Starlette

from bot.channels.health import Health
from bot.channels.meters import MeteredChannel, MeteredSource, Meters
from bot.delivery.ports import Inbound, Receipt, Receive, Store
from bot.errors import (
    ChannelError,
    ChatMoved,
    DatabaseAway,
    GoneForGood,
    Malformed,
    Refused,
    TryLater,
)
from bot.turn import Said
from bot.voice.message import Message
from storage import open_store

AT = datetime(2026, 3, 2, 8, tzinfo=UTC)


@dataclass
class Fetching:
    """A poller as far as health is concerned."""

    told: str | None

    def silent_for_s(self) -> float | None:
        return 3.0

    def trouble(self) -> str | None:
        return self.told


@pytest.fixture
async def store(tmp_path: Path) -> AsyncIterator[Store]:
    store = await open_store(f"sqlite+aiosqlite:///{tmp_path / 'j.db'}")
    yield store
    await store.close()


async def get(app: Starlette, path: str) -> httpx.Response:
    transport = httpx.ASGITransport(app=app)
    async with httpx.AsyncClient(transport=transport, base_url="http://bot") as client:
        return await client.get(path)


@pytest.mark.parametrize(
    ("trouble", "code", "text"), [(None, 200, "ready\n"), ("nobody there", 503, "nobody there\n")]
)
async def test_a_bot_is_ready_when_it_fetches_and_keeps(
    store: Store, trouble: str | None, code: int, text: str
) -> None:
    app = Health(store, Meters(), Fetching(trouble)).private_app()

    answer = await get(app, "/readyz")

    assert (answer.status_code, answer.text) == (code, text)
    assert "jarside_fetch_silence_seconds 3.0" in (await get(app, "/metrics")).text


async def test_a_bot_without_its_database_is_alive_but_not_ready(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def away() -> datetime | None:
        raise DatabaseAway

    monkeypatch.setattr(store, "next_due", away)
    monkeypatch.setattr(store, "waiting_prompts", away)
    app = Health(store, Meters(), None).private_app()

    assert (await get(app, "/readyz")).text == "the database does not answer\n"
    assert (await get(app, "/healthz")).status_code == 200
    metrics = await get(app, "/metrics")
    assert (metrics.status_code, "jarside_prompts_waiting NaN" in metrics.text) == (200, True)


async def test_the_metrics_are_not_among_what_the_public_may_ask(store: Store) -> None:
    public = Starlette(routes=list(Health(store, Meters(), None).public_routes))

    assert (await get(public, "/healthz")).status_code == 200
    assert (await get(public, "/metrics")).status_code == 404


@dataclass
class Answering:
    """A channel that does as it is told."""

    error: ChannelError | None = None

    async def send(self, chat: str, message: Message, *, plain: bool) -> Receipt:
        if self.error is not None:
            raise self.error
        return Receipt(message="tg:1:1")


async def test_every_outcome_of_sending_is_counted(store: Store) -> None:
    meters = Meters()
    errors = [TryLater(), GoneForGood(), ChatMoved("tg:-1"), Malformed(), Refused()]
    for error in errors:
        with pytest.raises(type(error)):
            await MeteredChannel(Answering(error), meters).send("tg:1", HI, plain=False)
    await MeteredChannel(Answering(), meters).send("tg:1", HI, plain=False)

    text = (await get(Health(store, meters, None).private_app(), "/metrics")).text

    for outcome in ("sent", "try-later", "gone", "moved", "malformed", "refused"):
        assert f'jarside_sends_total{{outcome="{outcome}"}} 1.0' in text
    assert "jarside_send_seconds_count 6.0" in text
    assert "jarside_fetch_silence_seconds -1.0" in text
    assert "jarside_updates_set_aside 0.0" in text


HI = Message(kind="reply", text="hi")
UPDATE = Inbound(
    key="tg:1", chat="tg:77", heard=Said(text="a secret of Ada's", at=AT), received_at=AT
)


class TwoUpdates:
    """A source with two updates."""

    async def run(self, receive: Receive) -> None:
        await receive([UPDATE, UPDATE])


async def test_what_was_kept_is_counted_and_nothing_of_it_is_told(store: Store) -> None:
    meters = Meters()

    async def receive(inbounds: object) -> None: ...

    await MeteredSource(TwoUpdates(), meters).run(receive)

    text = (await get(Health(store, meters, None).private_app(), "/metrics")).text
    assert "jarside_updates_received_total 2.0" in text
    assert "Ada" not in text
    assert "77" not in "".join(line for line in text.splitlines() if "jarside" in line)
