"""A bot on the tests' own service, whose clock stands still until a test moves it."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from bot.assembly import COACH
from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import new_client
from bot.channels.telegram.poller import Poller
from bot.charts import paint_off_loop
from bot.culture.journal import Entry
from bot.delivery.clock import HandClock
from bot.delivery.ports import Pace
from bot.delivery.service import Service
from storage.store import SqlStore
from tests.bot_api.people import Person
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving
from tests.channels.conftest import QUICK

HISTORIES = Path(__file__).parent.parent / "histories"


@dataclass(frozen=True, kw_only=True)
class Kitchen:
    """Everything that is real in serve, except the clock."""

    api: BotApi
    clock: HandClock
    service: Service
    store: SqlStore
    person: Person

    async def at(self, moment: datetime) -> None:
        """Let the time pass until then; whatever is due on the way happens at its own time."""
        await self.service.settle(until=moment)

    async def heard(self) -> None:
        """Until everything that was done is fetched, kept, confirmed, handled and answered.

        A chat is sent one message a second: three seconds are enough for what one message brings.
        """
        await self.api.until(lambda: len(self.api.inbox) == 0)
        await self.service.settle(until=self.clock.now() + timedelta(seconds=3))

    async def logged(self) -> list[Entry]:
        """What the journal says of the jars: everything but who wrote when, and what was asked."""
        talk = await self.store.conversation(f"tg:{self.person.id}")
        return [entry for entry in talk.dossier.journal if entry.culture is not None]

    async def says(self, text: str) -> list[str]:
        """Write it, and read what comes back."""
        before = len(self.person.received)
        self.person.writes(text)
        await self.heard()
        return [sent.text for sent in self.person.received[before:]]


@asynccontextmanager
async def kitchen(store: SqlStore, began_at: datetime) -> AsyncIterator[Kitchen]:
    clock = HandClock(began_at)
    api = BotApi(clock=clock.now)
    async with serving(api) as address:
        client = new_client(api.token, address)
        service = Service(
            store=store,
            coach=COACH,
            channel=TelegramChannel(client.bot, paint_off_loop),
            clock=clock,
            pace=Pace(),
            seed=7,
        )
        polling = asyncio.create_task(
            Poller(client, clock=clock.now, patience=QUICK).run(service.receive)
        )
        yield Kitchen(api=api, clock=clock, service=service, store=store, person=Person(api, 77))
        polling.cancel()
        await asyncio.gather(polling, return_exceptions=True)
        await client.bot.shutdown()


def history(name: str) -> list[tuple[datetime, str | None]]:
    """The lines of a history that begins from nothing, with no profile."""
    lines = (HISTORIES / name).read_text(encoding="utf-8").splitlines()
    return [(datetime.fromisoformat(one["at"]), one["text"]) for one in map(json.loads, lines)]
