"""Bring a database to this version's tables, keeping a copy of the file as it was."""

from __future__ import annotations

import asyncio
import sqlite3
from contextlib import closing
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, inspect, text

from bot.errors import DatabaseError, SchemaTooNew
from storage.engine import Database

MIGRATIONS = Path(__file__).parent / "migrations"
SCHEMA_LOCK = 7_031_977
"""Any fixed number: processes that start together take turns on it."""


async def migrate(database: Database) -> None:
    """Apply the steps that are missing, all or none.

    An SQLite file that holds data is copied first, to a name with its version in it. Raises
    SchemaTooNew for a database of a newer Jarside, DatabaseError for one that is not ours.
    """
    found = await schema_version(database)
    if found == latest_version():
        return
    if database.file is not None and found is not None:
        await asyncio.to_thread(copy_of, database.file, found)
    await database.run(_upgrade)


async def schema_version(database: Database) -> str | None:
    """The version found, None for an empty database. Raises as ``migrate`` does."""
    found, tables = await database.run(_look)
    if found is None and tables:
        raise DatabaseError("This database holds something else: choose an empty one for Jarside.")
    known = {script.revision for script in _scripts().walk_revisions()}
    if found is not None and found not in known:
        raise SchemaTooNew(
            f"The database has version {found}, this Jarside knows up to {latest_version()}: "
            "update Jarside first."
        )
    return found


def latest_version() -> str:
    head = _scripts().get_current_head()
    assert head is not None
    return head


def copy_of(file: Path, version: str) -> Path:
    """A consistent copy beside the file ("jarside.db.0001.backup"); an older copy is kept."""
    target = file.with_name(f"{file.name}.{version}.backup")
    count = 1
    while target.exists():
        count += 1
        target = file.with_name(f"{file.name}.{version}.{count}.backup")
    try:
        with closing(sqlite3.connect(file)) as source, closing(sqlite3.connect(target)) as copy:
            source.backup(copy)
    except sqlite3.Error as wrong:
        target.unlink(missing_ok=True)
        raise DatabaseError(
            f"No copy of {file} could be made before the update: {wrong}."
        ) from wrong
    return target


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def _scripts() -> ScriptDirectory:
    return ScriptDirectory.from_config(_config())


def _look(connection: Connection) -> tuple[str | None, bool]:
    tables = inspect(connection).get_table_names()
    return MigrationContext.configure(connection).get_current_revision(), bool(tables)


def _upgrade(connection: Connection) -> None:
    if connection.dialect.name == "postgresql":
        connection.execute(text("SET LOCAL statement_timeout = 0"))
        connection.execute(text("SET LOCAL lock_timeout = 0"))
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": SCHEMA_LOCK})
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
