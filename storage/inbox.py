"""Updates, from the moment they are acknowledged until they are handled or set aside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import and_, bindparam, exists, or_, select, tuple_, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import Connection

from bot.delivery.ports import AsideInbound, Inbound
from storage.payload import heard_of, heard_text, instant, moment
from storage.tables import ASIDE, INBOX, WAITING

MOST_TRIES = 3
MOST_CLAIMS = 10
"""Times it may be in hand with no outcome told: more, and it is what kills its process."""

CLOCK_SLACK = timedelta(minutes=5)
"""A claim that reaches further than its length and this was made by a clock that ran ahead."""


def inbound_values(inbound: Inbound) -> dict[str, object]:
    return {
        "key": inbound.key,
        "chat": inbound.chat,
        "place": inbound.order,
        "received_at": instant(inbound.received_at),
        "state": WAITING,
        "tries": 0,
        "claims": 0,
        "not_before": 0,
        "claimed_until": 0,
        "payload": heard_text(inbound.heard),
    }


def add(connection: Connection, rows: Sequence[dict[str, object]]) -> Sequence[str]:
    """Insert what is new; the keys that were."""
    insert = sqlite.insert if connection.dialect.name == "sqlite" else postgresql.insert
    statement = insert(INBOX).on_conflict_do_nothing().returning(INBOX.c.key)
    return [row.key for row in connection.execute(statement, list(rows))]


def take(
    connection: Connection, *, now: datetime, claim_for: timedelta, limit: int
) -> Sequence[Inbound]:
    found = connection.execute(
        _TAKE,
        {
            "now": instant(now),
            "far": instant(now + claim_for + CLOCK_SLACK),
            "until": instant(now + claim_for),
            "most": limit,
        },
    )
    rows = sorted(found.all(), key=lambda row: row.id)
    deadly = [row.key for row in rows if row.claims > MOST_CLAIMS]
    if deadly:
        connection.execute(
            _SET_ASIDE, {"keys": deadly, "reason": "its process died each time it was in hand"}
        )
    return [
        Inbound(
            key=row.key,
            chat=row.chat,
            heard=heard_of(row.payload),
            received_at=moment(row.received_at),
            order=row.place,
            tries=row.tries,
        )
        for row in rows
        if row.claims <= MOST_CLAIMS
    ]


def fail(connection: Connection, key: str, *, why: str, retry_at: datetime) -> bool:
    tries = connection.scalar(_FAIL, {"one": key, "reason": why, "at": instant(retry_at)})
    if tries is None or tries < MOST_TRIES:
        return True
    connection.execute(_SET_ASIDE, {"keys": [key], "reason": why})
    return False


def aside(connection: Connection, limit: int) -> Sequence[AsideInbound]:
    rows = connection.execute(
        select(INBOX).where(INBOX.c.state == ASIDE).order_by(INBOX.c.id).limit(limit)
    )
    return [
        AsideInbound(
            key=row.key, chat=row.chat, received_at=moment(row.received_at), why=row.why or ""
        )
        for row in rows
    ]


def again(connection: Connection, key: str) -> bool:
    done = connection.execute(
        update(INBOX)
        .where(INBOX.c.key == key, INBOX.c.state == ASIDE)
        .values(state=WAITING, tries=0, claims=0, not_before=0, claimed_until=0)
    )
    return done.rowcount == 1


_OTHER = INBOX.alias("earlier")
HEAD = and_(
    INBOX.c.state == WAITING,
    ~exists().where(
        _OTHER.c.state == WAITING,
        _OTHER.c.chat == INBOX.c.chat,
        tuple_(_OTHER.c.place, _OTHER.c.id) < tuple_(INBOX.c.place, INBOX.c.id),
    ),
)
"""The first of its chat: the only one that may be taken, which is what keeps the order."""

_PICKED = (
    select(INBOX.c.id)
    .where(
        HEAD,
        INBOX.c.not_before <= bindparam("now"),
        or_(INBOX.c.claimed_until <= bindparam("now"), INBOX.c.claimed_until > bindparam("far")),
    )
    .order_by(INBOX.c.id)
    .limit(bindparam("most"))
    .with_for_update(skip_locked=True)
    .cte("picked")
)
_TAKE = (
    update(INBOX)
    .where(INBOX.c.id.in_(select(_PICKED.c.id)))
    .values(claimed_until=bindparam("until"), claims=INBOX.c.claims + 1)
    .returning(
        INBOX.c.id, INBOX.c.key, INBOX.c.chat, INBOX.c.payload, INBOX.c.received_at,
        INBOX.c.place, INBOX.c.tries, INBOX.c.claims,
    )
)  # fmt: skip
_FAIL = (
    update(INBOX)
    .where(INBOX.c.key == bindparam("one"), INBOX.c.state == WAITING)
    .values(
        tries=INBOX.c.tries + 1,
        claims=0,
        claimed_until=0,
        not_before=bindparam("at"),
        why=bindparam("reason"),
    )
    .returning(INBOX.c.tries)
)
_SET_ASIDE = (
    update(INBOX)
    .where(INBOX.c.key.in_(bindparam("keys", expanding=True)), INBOX.c.state == WAITING)
    .values(state=ASIDE, claimed_until=0, why=bindparam("reason"))
)
