"""The composition root: settings become live parts. The only importer of ``storage`` besides tests."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from bot.channels.terminal import Terminal
from bot.coach import hear, next_prompt_at, speak
from bot.delivery.clock import Clock
from bot.delivery.desk import Coach
from bot.delivery.ports import Pace, Store
from bot.delivery.service import Service
from bot.delivery.ticker import SystemClock
from bot.settings import Settings
from storage import open_store
from storage.engine import Database, parse_url
from storage.migrate import latest_version, schema_version

COACH = Coach(hear=hear, speak=speak, next_prompt_at=next_prompt_at)


async def opened(database_url: str) -> Store:
    """The store at that address, brought up to date. Raises DatabaseError when it cannot be used."""
    return await open_store(database_url)


def terminal_service(store: Store, terminal: Terminal, clock: Clock) -> Service:
    """The whole shell for one person at one screen, who need not be spared a flood of messages."""
    return Service(
        store=store,
        coach=COACH,
        channel=terminal,
        clock=clock,
        pace=Pace(per_second=None, per_chat_s=0.0),
    )


@asynccontextmanager
async def telegram_service(settings: Settings, store: Store) -> AsyncIterator[Service]:
    """The whole shell on Telegram, not started yet. Its connections close on leaving."""
    # Here, so that a talk in the terminal does not wait for a chat library to be imported.
    from bot.channels.telegram.channel import TelegramChannel
    from bot.channels.telegram.client import new_client
    from bot.channels.telegram.poller import Poller

    assert settings.telegram_token is not None
    client = new_client(settings.telegram_token.get_secret_value(), settings.telegram_api_url)
    clock = SystemClock()
    try:
        yield Service(
            store=store,
            coach=COACH,
            channel=TelegramChannel(client.bot),
            source=Poller(client, clock=clock.now),
            clock=clock,
            pace=Pace(per_second=settings.send_rate),
        )
    finally:
        await client.bot.shutdown()


async def schema_state(database_url: str) -> tuple[str | None, str]:
    """The version of the tables found there, None when there are none, and the one wanted.

    Changes nothing in a database that exists. Raises DatabaseError when it cannot be used.
    """
    database = Database(parse_url(database_url))
    try:
        return await schema_version(database), latest_version()
    finally:
        await database.close()
