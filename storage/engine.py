"""From an address to an engine with manners: durable commits, no waiting for ever, clear errors."""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import create_engine, event
from sqlalchemy.engine import URL, Connection, Engine, make_url
from sqlalchemy.exc import (
    ArgumentError,
    DBAPIError,
    InterfaceError,
    OperationalError,
    SQLAlchemyError,
)
from sqlalchemy.exc import TimeoutError as PoolTimeout
from sqlalchemy.ext.asyncio import AsyncEngine, create_async_engine
from sqlalchemy.pool import ConnectionPoolEntry

from bot.errors import DatabaseAway, DatabaseError

Answer = TypeVar("Answer")

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
    """An engine and its one way to a transaction: a function of a connection, run as a whole.

    SQLite has one writer and no waiting of its own, so its transactions line up on one thread,
    each in a single visit. (The asynchronous driver visits its thread for every cursor, statement,
    fetch and close: some 130 visits for one message, and seven times the processor time.)
    PostgreSQL has an asynchronous engine, with as many transactions at once as the pool holds.
    """

    def __init__(self, url: URL) -> None:
        self.url = url
        self.is_sqlite = url.get_backend_name() == "sqlite"
        self._thread: ThreadPoolExecutor | None = None
        self._sqlite: Engine | None = None
        self._hasty: Engine | None = None
        self._postgres: AsyncEngine | None = None
        self._running: set[asyncio.Future[Any]] = set()
        if self.is_sqlite:
            self._sqlite = _sqlite(url, synchronous="FULL")
            self._hasty = self._sqlite if self.file is None else _sqlite(url, synchronous="NORMAL")
            self._thread = ThreadPoolExecutor(1, "jarside-sqlite")
        else:
            self._postgres = _postgres(url)

    @property
    def file(self) -> Path | None:
        """The SQLite file, None for PostgreSQL and for a database in memory."""
        name = self.url.database
        if not self.is_sqlite or not name or name == ":memory:":
            return None
        return Path(name)

    async def run(self, work: Callable[[Connection], Answer]) -> Answer:
        """The answer of ``work``, committed durably; undone by an error.

        Raises DatabaseError or DatabaseAway for what goes wrong in the database.
        """
        return await self._run(self._sqlite, work)

    async def claim(self, work: Callable[[Connection], Answer]) -> Answer:
        """As ``run``, without waiting for the disk: for claims, which power cut off may undo.

        A claim that is lost is only made again; what it was for is kept by ``run``. Other processes
        see it at once, and a process that dies does not undo it.
        """
        if self._postgres is not None:

            def hastily(connection: Connection) -> Answer:
                connection.exec_driver_sql("SET LOCAL synchronous_commit = off")
                return work(connection)

            return await self._run(None, hastily)
        return await self._run(self._hasty, work)

    async def close(self) -> None:
        if self._running:
            await asyncio.wait(self._running)
        if self._postgres is not None:
            await self._postgres.dispose()
        if self._thread is not None:
            for engine in {self._sqlite, self._hasty}:
                assert engine is not None
                await asyncio.get_running_loop().run_in_executor(self._thread, engine.dispose)
            self._thread.shutdown()

    async def _run(self, sqlite: Engine | None, work: Callable[[Connection], Answer]) -> Answer:
        try:
            if sqlite is not None:
                return await asyncio.get_running_loop().run_in_executor(
                    self._thread, _transaction, sqlite, work
                )
            # Whoever asks may be cancelled; a transaction cut off half-way costs its connection.
            running = asyncio.ensure_future(self._on_postgres(work))
            self._running.add(running)
            running.add_done_callback(self._running.discard)
            return await asyncio.shield(running)
        except SQLAlchemyError as wrong:
            raise told(wrong) from wrong

    async def _on_postgres(self, work: Callable[[Connection], Answer]) -> Answer:
        assert self._postgres is not None
        async with self._postgres.begin() as connection:
            return await connection.run_sync(work)


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
            return url.set(drivername="sqlite+pysqlite")
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


def _transaction(engine: Engine, work: Callable[[Connection], Answer]) -> Answer:
    with engine.begin() as connection:
        return work(connection)


def _sqlite(url: URL, *, synchronous: str) -> Engine:
    if sqlite3.sqlite_version_info < (3, 35):
        raise DatabaseError(f"SQLite 3.35 or later is needed, this is {sqlite3.sqlite_version}.")
    engine = create_engine(url, connect_args={"timeout": BUSY_S}, pool_reset_on_return=None)

    @event.listens_for(engine, "connect")
    def manners(connection: sqlite3.Connection, _: ConnectionPoolEntry) -> None:
        # The driver must not begin transactions by itself: ours begin as writers, below.
        connection.isolation_level = None
        cursor = connection.cursor()
        for pragma in (
            "journal_mode=WAL",
            f"synchronous={synchronous}",  # NORMAL may lose the last commits with the power
            "foreign_keys=ON",
            f"busy_timeout={BUSY_S * 1000}",
        ):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        # A transaction that begins as a reader and then writes may fail without waiting.
        connection.exec_driver_sql("BEGIN IMMEDIATE")

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
