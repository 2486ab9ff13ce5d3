"""The composition root: settings become live parts. The only importer of ``storage`` besides tests."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import AsyncExitStack, asynccontextmanager
from socket import socket
from typing import TYPE_CHECKING

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

if TYPE_CHECKING:
    from bot.channels.telegram.webhook import Hook

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
async def telegram_service(
    settings: Settings, store: Store, *, hook: Hook | None, monitor: socket | None
) -> AsyncIterator[Service]:
    """The whole shell on Telegram, not started yet; it polls when there is no ``hook``.

    ``monitor`` is a bound socket for health and metrics. All connections close on leaving.
    """
    # Here, so that a talk in the terminal does not wait for what it never uses.
    from bot.channels.health import Health
    from bot.channels.meters import MeteredChannel, MeteredSource, Meters, counted
    from bot.channels.telegram.channel import TelegramChannel
    from bot.channels.telegram.client import new_client
    from bot.channels.telegram.poller import Poller
    from bot.channels.telegram.webhook import Webhook
    from bot.channels.web import listening
    from bot.charts import paint_off_loop

    assert settings.telegram_token is not None
    token = settings.telegram_token.get_secret_value()
    client = new_client(token, settings.telegram_api_url)
    clock, meters = SystemClock(), Meters()
    poller = Poller(client, clock=clock.now) if hook is None else None
    health = Health(store, meters, poller)
    webhook = None
    if hook is not None:
        routes = health.public_routes
        webhook = Webhook(client, token=token, hook=hook, clock=clock.now, also=routes)
    source = poller or webhook
    assert source is not None
    service = Service(
        store=store,
        coach=COACH,
        channel=MeteredChannel(TelegramChannel(client.bot, paint_off_loop), meters),
        source=MeteredSource(source, meters),
        clock=clock,
        pace=Pace(per_second=settings.send_rate),
    )
    async with AsyncExitStack() as stack:
        stack.push_async_callback(client.bot.shutdown)
        if monitor is not None:
            await stack.enter_async_context(listening(health.private_app(), monitor))
        if webhook is not None:
            receive = counted(service.receive, meters)
            await stack.enter_async_context(webhook.receiving(receive))
        yield service


async def schema_state(database_url: str) -> tuple[str | None, str]:
    """The version of the tables found there, None when there are none, and the one wanted.

    Changes nothing in a database that exists. Raises DatabaseError when it cannot be used.
    """
    database = Database(parse_url(database_url))
    try:
        return await schema_version(database), latest_version()
    finally:
        await database.close()
