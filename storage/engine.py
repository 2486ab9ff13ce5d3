"""From an address to an engine with manners: durable commits, no waiting for ever, clear errors."""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from sqlalchemy import event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import (
    ArgumentError,
    DBAPIError,
    InterfaceError,
    OperationalError,
    SQLAlchemyError,
)
from sqlalchemy.exc import TimeoutError as PoolTimeout
from sqlalchemy.ext.asyncio import AsyncConnection, AsyncEngine, create_async_engine
from sqlalchemy.pool import ConnectionPoolEntry

from bot.errors import DatabaseAway, DatabaseError

BUSY_S = 5
"""How long SQLite waits for another process that writes."""

POSTGRES_MANNERS = (
    "-c timezone=UTC"
    " -c statement_timeout=20000"
    " -c lock_timeout=3000"
    # A process that is frozen in the middle of a transaction must not hold its locks for ever.
    " -c idle_in_transaction_session_timeout=5000"
)


class Database:
    """An engine and its one way to a transaction.

    SQLite has one writer: a lock lines the transactions of this process up, so that none of them
    has to poll for its turn.
    """

    def __init__(self, url: URL) -> None:
        self.url = url
        self.is_sqlite = url.get_backend_name() == "sqlite"
        self.engine = _sqlite(url) if self.is_sqlite else _postgres(url)
        self._writer = asyncio.Lock()

    @property
    def file(self) -> Path | None:
        """The SQLite file, None for PostgreSQL and for a database in memory."""
        name = self.url.database
        if not self.is_sqlite or not name or name == ":memory:":
            return None
        return Path(name)

    @asynccontextmanager
    async def transaction(self) -> AsyncIterator[AsyncConnection]:
        """Committed durably at the end, undone by an error. Raises DatabaseError or DatabaseAway."""
        try:
            if self.is_sqlite:
                async with self._writer, self.engine.begin() as connection:
                    yield connection
            else:
                async with self.engine.begin() as connection:
                    yield connection
        except SQLAlchemyError as wrong:
            raise told(wrong) from wrong

    async def close(self) -> None:
        await self.engine.dispose()


def parse_url(database_url: str) -> URL:
    """The address with the driver that we use. Raises DatabaseError for any other database."""
    try:
        url = make_url(database_url)
    except ArgumentError as wrong:
        raise DatabaseError(
            "JARSIDE_DATABASE_URL is not the address of a database; "
            "use sqlite:///path/to/file or postgresql+psycopg://user@host/name."
        ) from wrong
    match url.get_backend_name():
        case "sqlite":
            return url.set(drivername="sqlite+aiosqlite")
        case "postgresql" | "postgres":
            return url.set(drivername="postgresql+psycopg")
        case other:
            raise DatabaseError(f"Jarside keeps its data in SQLite or PostgreSQL, not in {other}.")


def told(wrong: SQLAlchemyError) -> DatabaseError:
    """The library's error as ours: away when a later try may work."""
    reason = wrong
    line = str(getattr(reason, "orig", None) or reason).strip().splitlines()
    detail = line[0] if line else type(wrong).__name__
    if isinstance(wrong, OperationalError | InterfaceError | PoolTimeout):
        return DatabaseAway(f"The database does not answer: {detail}.")
    if isinstance(wrong, DBAPIError) and wrong.connection_invalidated:
        return DatabaseAway(f"The database does not answer: {detail}.")
    return DatabaseError(f"The database refused: {detail}.")


def _sqlite(url: URL) -> AsyncEngine:
    if sqlite3.sqlite_version_info < (3, 35):
        raise DatabaseError(f"SQLite 3.35 or later is needed, this is {sqlite3.sqlite_version}.")
    engine = create_async_engine(url, connect_args={"timeout": BUSY_S})

    @event.listens_for(engine.sync_engine, "connect")
    def manners(connection: sqlite3.Connection, _: ConnectionPoolEntry) -> None:
        # The driver must not begin transactions by itself: ours begin as writers, below.
        connection.isolation_level = None
        cursor = connection.cursor()
        for pragma in (
            "journal_mode=WAL",
            "synchronous=FULL",  # WAL's usual NORMAL may lose the last commits with the power
            "foreign_keys=ON",
            f"busy_timeout={BUSY_S * 1000}",
        ):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine.sync_engine, "begin")
    def begin(connection: object) -> None:
        # A transaction that begins as a reader and then writes may fail without waiting.
        connection.exec_driver_sql("BEGIN IMMEDIATE")  # type: ignore[attr-defined]

    return engine


def _postgres(url: URL) -> AsyncEngine:
    return create_async_engine(
        url,
        pool_size=8,
        max_overflow=8,
        pool_timeout=10,
        connect_args={
            "connect_timeout": 5,
            "options": POSTGRES_MANNERS,
            "keepalives_idle": 10,
            "keepalives_interval": 5,
            "keepalives_count": 3,
            "application_name": "jarside",
        },
    )
