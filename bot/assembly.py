"""The composition root: settings become live parts. The only importer of ``storage`` besides tests."""

from __future__ import annotations

from bot.channels.terminal import Terminal
from bot.coach import hear, next_prompt_at, speak
from bot.delivery.clock import Clock
from bot.delivery.desk import Coach
from bot.delivery.ports import Pace, Store
from bot.delivery.service import Service
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


async def schema_state(database_url: str) -> tuple[str | None, str]:
    """The version of the tables found there, None when there are none, and the one wanted.

    Changes nothing in a database that exists. Raises DatabaseError when it cannot be used.
    """
    database = Database(parse_url(database_url))
    try:
        return await schema_version(database), latest_version()
    finally:
        await database.close()
