"""Lets go of what has done its work. The journal is never touched."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import Connection, Integer, bindparam, delete, select

from storage.payload import instant
from storage.tables import GIVEN_UP, HANDLED, INBOX, OUTBOX, SENT

KEEP_UPDATES = timedelta(days=14)
"""A service redelivers for a day at most; the rest is for whoever looks into a complaint."""

KEEP_MESSAGES = timedelta(days=30)
AT_MOST = 2_000
"""Rows looked at in one go, oldest first, so that nobody waits for it."""


def tidy(connection: Connection, *, now: datetime) -> int:
    """Delete some of the oldest rows that are done with; how many."""
    handled = connection.execute(
        _HANDLED_LONG_AGO, {"before": instant(now - KEEP_UPDATES), "most": AT_MOST}
    )
    settled = connection.execute(
        _SETTLED_LONG_AGO, {"before": instant(now - KEEP_MESSAGES), "most": AT_MOST}
    )
    return handled.rowcount + settled.rowcount


_MOST = bindparam("most", type_=Integer)
_OLDEST_HANDLED = select(INBOX.c.id).where(INBOX.c.state == HANDLED).order_by(INBOX.c.id)
_HANDLED_LONG_AGO = delete(INBOX).where(
    INBOX.c.id.in_(_OLDEST_HANDLED.limit(_MOST)), INBOX.c.received_at < bindparam("before")
)
_OLDEST_SETTLED = (
    select(OUTBOX.c.id).where(OUTBOX.c.state.in_((SENT, GIVEN_UP))).order_by(OUTBOX.c.id)
)
_SETTLED_LONG_AGO = delete(OUTBOX).where(
    OUTBOX.c.id.in_(_OLDEST_SETTLED.limit(_MOST)), OUTBOX.c.settled_at < bindparam("before")
)
