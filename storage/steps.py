"""Alembic, applied to a connection. Imported only when there is a step to take: it is slow to load."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, text

SCHEMA_LOCK = 7_031_977
"""Any fixed number: processes that start together take turns on it."""


def take_all_steps(migrations: Path, connection: Connection) -> None:
    """Bring the tables to the newest version, in the transaction of ``connection``."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SET LOCAL statement_timeout = 0"))
        connection.execute(text("SET LOCAL lock_timeout = 0"))
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": SCHEMA_LOCK})
    config = Config()
    config.set_main_option("script_location", str(migrations).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
