"""Bring a database to this version's tables, keeping a copy of the file as it was."""

from __future__ import annotations

import asyncio
import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, inspect, text

from bot.errors import DatabaseError, SchemaTooNew
from storage.engine import Database

MIGRATIONS = Path(__file__).parent / "migrations"


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
    # Here, because it takes a tenth of a second to load and is needed once a release.
    from storage.steps import take_all_steps

    await database.run(lambda connection: take_all_steps(MIGRATIONS, connection))


async def schema_version(database: Database) -> str | None:
    """The version found, None for an empty database. Raises as ``migrate`` does."""
    found, tables = await database.run(_look)
    if found is None and tables:
        raise DatabaseError("This database holds something else: choose an empty one for Jarside.")
    if found is not None and found not in versions():
        raise SchemaTooNew(
            f"The database has version {found}, this Jarside knows up to {latest_version()}: "
            "update Jarside first."
        )
    return found


def versions() -> list[str]:
    """Every version there is, oldest first: each step's file begins with its own ("0001_...")."""
    return sorted(
        file.name.partition("_")[0] for file in (MIGRATIONS / "versions").glob("[0-9]*_*.py")
    )


def latest_version() -> str:
    return versions()[-1]


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


def _look(connection: Connection) -> tuple[str | None, bool]:
    tables = inspect(connection).get_table_names()
    if "alembic_version" not in tables:
        return None, bool(tables)
    return connection.scalar(text("SELECT version_num FROM alembic_version")), True
