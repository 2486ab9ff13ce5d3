"""Run by Alembic: the steps, on the connection that ``migrate.py`` hands over."""

from __future__ import annotations

from alembic import context
from sqlmodel import SQLModel

import storage.tables  # noqa: F401 - fills the metadata

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=SQLModel.metadata,
    render_as_batch=connection.dialect.name == "sqlite",
)
with context.begin_transaction():
    context.run_migrations()
