"""Real ``serve`` processes on a real database, and the stand-in of the messaging service."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import time
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, text

from bot.delivery.outbox import AT_ONCE
from bot.delivery.ticker import SystemClock
from storage.payload import instant
from storage.store import SqlStore
from tests.bot_api.service import BotApi

QUIET_S = 60.0
"""Claims end after 20 s; when nothing happens for much longer, something is lost."""


@dataclass
class Bot:
    """One ``serve`` process, started again as often as it takes."""

    api: BotApi
    address: str
    database_url: str
    rate: float
    process: asyncio.subprocess.Process | None = None

    async def start(self) -> None:
        environment = {
            **os.environ,
            "JARSIDE_DATABASE_URL": self.database_url,
            "JARSIDE_TELEGRAM_TOKEN": self.api.token,
            "JARSIDE_TELEGRAM_API_URL": self.address,
            "JARSIDE_SEND_RATE": str(self.rate),
            "JARSIDE_LOG_LEVEL": "ERROR",
        }
        self.process = await asyncio.create_subprocess_exec(
            sys.executable, "-m", "bot", "serve", env=environment
        )

    async def kill(self) -> None:
        """kill -9: no warning, no tidying."""
        assert self.process is not None
        self.process.kill()
        await self.process.wait()

    async def stop(self) -> int:
        """SIGTERM, as an operator would; the exit code."""
        assert self.process is not None
        if self.process.returncode is None:
            self.process.terminate()
        return await asyncio.wait_for(self.process.wait(), 30)

    def freeze(self) -> None:
        assert self.process is not None
        self.process.send_signal(signal.SIGSTOP)

    def thaw(self) -> None:
        assert self.process is not None
        self.process.send_signal(signal.SIGCONT)


@dataclass
class Books:
    """What the database says, read beside the processes that write it."""

    store: SqlStore

    async def count(self, statement: str, **values: object) -> int:
        def counted(connection: Connection) -> int:
            return int(connection.scalar(text(statement), values) or 0)

        return await self.store.database.run(counted)

    async def rows(self, statement: str) -> list[tuple[Any, ...]]:
        def fetched(connection: Connection) -> list[tuple[Any, ...]]:
            return [tuple(row) for row in connection.execute(text(statement))]

        return await self.store.database.run(fetched)

    async def being_sent(self) -> int:
        """Messages in the hand of the process that has just died: the most that it can double."""
        now = instant(SystemClock().now())
        claimed = await self.count(
            "SELECT count(*) FROM outbox WHERE state = 'waiting' AND claimed_until > :now", now=now
        )
        return min(claimed, AT_ONCE)

    async def left_over(self) -> int:
        """Everything that is still to be done."""
        now = instant(SystemClock().now())
        return await self.count(
            "SELECT (SELECT count(*) FROM inbox WHERE state = 'waiting')"
            " + (SELECT count(*) FROM outbox WHERE state = 'waiting')"
            " + (SELECT count(*) FROM people WHERE next_prompt_at <= :now)",
            now=now,
        )

    async def until_done(self, api: BotApi) -> None:
        """Returns when no update waits anywhere and nothing is left to do or to send. Raises
        TimeoutError when there is no progress."""
        least, since = await self.left_over() + len(api.inbox), time.monotonic()
        while least:
            await asyncio.sleep(0.5)
            left = await self.left_over() + len(api.inbox)
            if left < least:
                least, since = left, time.monotonic()
            elif time.monotonic() - since > QUIET_S:
                raise TimeoutError(f"{left} things are left over")

    async def reports(self) -> dict[tuple[str, str], int]:
        """How often each message (person, message key) stands in the journal."""
        found: dict[tuple[str, str], int] = {}
        people = [row[0] for row in await self.rows("SELECT key FROM people")]
        for person in people:
            for entry in (await self.store.conversation(person)).dossier.journal:
                message = getattr(entry.event, "message", None)
                if message is not None:
                    found[person, message] = found.get((person, message), 0) + 1
        return found
