"""The one way to a working store: make the folder, bring the tables up to date, open."""

from __future__ import annotations

import asyncio
import sqlite3
from contextlib import closing
from pathlib import Path

from bot.errors import DatabaseAway, DatabaseError, SchemaTooNew
from storage.engine import BUSY_S, Database, parse_url
from storage.migrate import migrate
from storage.store import SqlStore


async def open_store(database_url: str) -> SqlStore:
    """Open the database at ``database_url``, created and migrated when needed.

    Raises DatabaseError with one clear sentence when it cannot be used, SchemaTooNew when a newer
    Jarside has been here.
    """
    database = Database(parse_url(database_url))
    try:
        if database.file is not None:
            _make_folder(database.file)
            await asyncio.to_thread(_try_file, database.file)
        await migrate(database)
    except SchemaTooNew:
        await database.close()
        raise
    except DatabaseAway as wrong:
        await database.close()
        raise DatabaseAway(f"{_name(database)} cannot be opened: {_reason(wrong)}") from wrong
    except DatabaseError as wrong:
        await database.close()
        raise DatabaseError(f"{_name(database)} cannot be used: {_reason(wrong)}") from wrong
    return SqlStore(database)


def _make_folder(file: Path) -> None:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as wrong:
        raise DatabaseError(f"its folder cannot be made: {wrong.strerror}.") from wrong


def _try_file(file: Path) -> None:
    """Find out whether the file can be written before anything else is done with it."""
    try:
        with closing(sqlite3.connect(file, timeout=BUSY_S, isolation_level=None)) as connection:
            connection.execute("BEGIN IMMEDIATE")
            connection.execute("ROLLBACK")
    except sqlite3.OperationalError as wrong:
        raise DatabaseAway(f"{wrong}.") from wrong
    except sqlite3.Error as wrong:
        raise DatabaseError(f"{wrong}.") from wrong


def _name(database: Database) -> str:
    """The database for a person's eyes: never with a password."""
    if database.file is not None:
        return f"The database file {database.file}"
    return f"The database {database.url.render_as_string(hide_password=True)}"


def _reason(wrong: DatabaseError) -> str:
    text = str(wrong)
    for start in ("The database does not answer: ", "The database refused: "):
        text = text.removeprefix(start)
    return text
