"""What only one process may do at a time, for as long as it keeps saying that it is alive."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import delete, or_
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import Connection

from storage.payload import instant
from storage.tables import LEASES


def take(
    connection: Connection, name: str, holder: str, *, now: datetime, hold_for: timedelta
) -> bool:
    """Take or renew a lease; False while another holds it."""
    insert = sqlite.insert if connection.dialect.name == "sqlite" else postgresql.insert
    values = {"name": name, "holder": holder, "until": instant(now + hold_for)}
    free = or_(
        LEASES.c.holder == holder,
        LEASES.c.until <= instant(now),
        # Left by a clock that ran ahead: nobody asks for so long.
        LEASES.c.until > instant(now + 10 * hold_for),
    )
    statement = (
        insert(LEASES)
        .values(values)
        .on_conflict_do_update(index_elements=["name"], set_=values, where=free)
        .returning(LEASES.c.holder)
    )
    return (connection.execute(statement)).first() is not None


def give_back(connection: Connection, name: str, holder: str) -> None:
    connection.execute(delete(LEASES).where(LEASES.c.name == name, LEASES.c.holder == holder))
