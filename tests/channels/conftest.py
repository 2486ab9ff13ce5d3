"""A bot, the tests' own service, and somebody who writes."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Sequence

import pytest

from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import Client, new_client
from bot.channels.telegram.patience import Patience
from bot.channels.telegram.poller import Poller
from bot.charts import paint_off_loop
from bot.delivery.ports import Inbound
from bot.turn import Heard
from tests.bot_api.people import Person
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving

QUICK = Patience(poll_s=1, first_wait_s=0.01, longest_wait_s=0.05)


class Kept:
    """Where a source's updates end up: a list, which may refuse for a while."""

    def __init__(self) -> None:
        self.batches: list[tuple[Inbound, ...]] = []
        self.open = asyncio.Event()
        self.open.set()
        self.asked = asyncio.Event()
        self.news = asyncio.Event()

    @property
    def all(self) -> list[Inbound]:
        return [one for batch in self.batches for one in batch]

    @property
    def heard(self) -> list[Heard]:
        return [one.heard for one in self.all]

    async def receive(self, inbounds: Sequence[Inbound]) -> None:
        self.asked.set()
        await self.open.wait()
        self.batches.append(tuple(inbounds))
        self.news.set()

    async def until(self, count: int) -> list[Inbound]:
        async with asyncio.timeout(10):
            while len(self.all) < count:
                self.news.clear()
                await self.news.wait()
        return self.all


@pytest.fixture
def api() -> BotApi:
    return BotApi()


@pytest.fixture
def ada(api: BotApi) -> Person:
    return Person(api, 77)


@pytest.fixture
def kept() -> Kept:
    return Kept()


@pytest.fixture
async def client(api: BotApi) -> AsyncIterator[Client]:
    async with serving(api) as address:
        client = new_client(api.token, address)
        await client.bot.initialize()
        yield client
        await client.bot.shutdown()


@pytest.fixture
def channel(client: Client) -> TelegramChannel:
    return TelegramChannel(client.bot, paint_off_loop)


@pytest.fixture
async def polling(api: BotApi, client: Client, kept: Kept) -> AsyncIterator[Poller]:
    """A poller at work, until the test ends."""
    poller = Poller(client, clock=api.clock, patience=QUICK)
    work = asyncio.create_task(poller.run(kept.receive))
    yield poller
    work.cancel()
    await asyncio.gather(work, return_exceptions=True)
