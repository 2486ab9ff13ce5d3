"""Messages, from the moment they are decided until the service has taken them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, and_, bindparam, exists, func, literal, or_, select, update
from sqlalchemy.engine import Connection

from bot.delivery.pace import slots
from bot.delivery.ports import Outgoing, Pace, Rank, Receipt
from storage.inbox import CLOCK_SLACK
from storage.payload import instant, message_of, moment
from storage.tables import BUDGET, GIVEN_UP, OUTBOX, PEOPLE, SENT, WAITING


@dataclass(frozen=True, slots=True)
class Delivered:
    """One request to note that a message was taken by the service."""

    id: int
    chat: str
    receipt: str
    at: int
    free_at: int
    """When its chat may have the next one."""


def delivered(outgoing: Outgoing, receipt: Receipt, *, now: datetime, pace: Pace) -> Delivered:
    return Delivered(
        id=outgoing.id,
        chat=outgoing.chat,
        receipt=receipt.message,
        at=instant(now),
        free_at=instant(now + timedelta(seconds=pace.per_chat_s)),
    )


def take(
    connection: Connection, *, now: datetime, claim_for: timedelta, limit: int, pace: Pace
) -> Sequence[Outgoing]:
    """Claim what the budget has slots for. The budget's row lines the processes up."""
    budget = (connection.execute(_BUDGET)).one()
    if instant(now) < budget.held_until:
        return []
    given, _ = slots(
        free_at=moment(budget.free_at), now=now, want=limit, per_second=pace.per_second
    )
    if not given:
        return []
    found = connection.execute(
        _TAKE,
        {
            "now": instant(now),
            "far": instant(now + claim_for + CLOCK_SLACK),
            "until": instant(now + claim_for),
            "most": len(given),
        },
    )
    rows = sorted(found.all(), key=lambda row: (row.rank, row.id))
    if rows and pace.per_second is not None:
        given, free_at = slots(
            free_at=moment(budget.free_at), now=now, want=len(rows), per_second=pace.per_second
        )
        connection.execute(_SPEND, {"free": instant(free_at)})
    return [
        Outgoing(
            id=row.id,
            key=row.key,
            chat=row.chat,
            rank=Rank(row.rank),
            message=message_of(row.payload),
            queued_at=moment(row.queued_at),
            send_at=slot,
            claimed_until=moment(row.claimed_until),
            tries=row.tries,
            plain=row.plain,
            more=row.more,
        )
        for row, slot in zip(rows, given, strict=False)
    ]


def note_sent(connection: Connection, asked: Sequence[Delivered]) -> Sequence[None]:
    # People before messages, as everywhere: two transactions never wait for each other in a ring.
    chats = sorted(asked, key=lambda one: one.chat)
    connection.execute(_REST_A_SECOND, [{"one": one.chat, "free": one.free_at} for one in chats])
    connection.execute(
        _NOTE_SENT, [{"one": one.id, "got": one.receipt, "at": one.at} for one in chats]
    )
    return [None] * len(asked)


def put_off(
    connection: Connection, outgoing: Outgoing, *, at: datetime, why: str, plain: bool
) -> None:
    connection.execute(
        update(OUTBOX)
        .where(_mine(outgoing))
        .values(
            not_before=instant(at),
            claimed_until=0,
            tries=OUTBOX.c.tries + 1,
            plain=or_(OUTBOX.c.plain, literal(plain)),
            why=why,
        )
    )


def give_up(connection: Connection, outgoing: Outgoing, *, now: datetime, why: str) -> None:
    connection.execute(
        update(OUTBOX)
        .where(_mine(outgoing))
        .values(state=GIVEN_UP, claimed_until=0, settled_at=instant(now), why=why)
    )


def hold(connection: Connection, until: datetime) -> None:
    connection.execute(
        update(BUDGET)
        .where(BUDGET.c.held_until < instant(until))
        .values(held_until=instant(until), free_at=instant(until))
    )


def rest_chat(connection: Connection, chat: str, *, now: datetime) -> None:
    connection.execute(update(PEOPLE).where(PEOPLE.c.chat == chat).values(at_rest=True))
    connection.execute(
        update(OUTBOX)
        .where(OUTBOX.c.state == WAITING, OUTBOX.c.chat == chat)
        .values(
            state=GIVEN_UP,
            claimed_until=0,
            settled_at=instant(now),
            why="this chat does not take our messages",
        )
    )


def move_chat(connection: Connection, chat: str, new_chat: str) -> None:
    taken = connection.scalar(select(PEOPLE.c.key).where(PEOPLE.c.chat == new_chat))
    if taken is None:
        connection.execute(update(PEOPLE).where(PEOPLE.c.chat == chat).values(chat=new_chat))
    else:  # they have written from there already: what is left at the old address is nobody's
        connection.execute(update(PEOPLE).where(PEOPLE.c.chat == chat).values(at_rest=True))
    connection.execute(
        update(OUTBOX)
        .where(OUTBOX.c.state == WAITING, OUTBOX.c.chat == chat)
        .values(chat=new_chat, claimed_until=0, not_before=0)
    )


def waiting_prompts(connection: Connection) -> int:
    count = connection.scalar(
        select(func.count())
        .select_from(OUTBOX)
        .where(OUTBOX.c.state == WAITING, OUTBOX.c.rank == int(Rank.PROMPT))
    )
    return int(count or 0)


def _mine(outgoing: Outgoing) -> ColumnElement[bool]:
    """Still claimed by the one who asks: a claim that ran out may be another process's by now."""
    return and_(
        OUTBOX.c.id == outgoing.id,
        OUTBOX.c.state == WAITING,
        OUTBOX.c.claimed_until == instant(outgoing.claimed_until),
    )


_OTHER = OUTBOX.alias("earlier")
HEAD = and_(
    OUTBOX.c.state == WAITING,
    ~exists().where(
        _OTHER.c.state == WAITING, _OTHER.c.chat == OUTBOX.c.chat, _OTHER.c.id < OUTBOX.c.id
    ),
)
"""The first of its chat: the only one that may be sent, which is what keeps the order."""

_BUDGET = select(BUDGET.c.free_at, BUDGET.c.held_until).with_for_update()
_SPEND = update(BUDGET).values(free_at=bindparam("free"))
_PICKED = (
    select(OUTBOX.c.id)
    .where(
        HEAD,
        OUTBOX.c.not_before <= bindparam("now"),
        or_(OUTBOX.c.claimed_until <= bindparam("now"), OUTBOX.c.claimed_until > bindparam("far")),
        ~exists().where(PEOPLE.c.chat == OUTBOX.c.chat, PEOPLE.c.free_at > bindparam("now")),
    )
    .order_by(OUTBOX.c.rank, OUTBOX.c.id)
    .limit(bindparam("most"))
    .with_for_update(skip_locked=True)
    .cte("picked")
)
_TAKE = (
    update(OUTBOX)
    .where(OUTBOX.c.id.in_(select(_PICKED.c.id)))
    .values(claimed_until=bindparam("until"))
    .returning(
        OUTBOX.c.id, OUTBOX.c.key, OUTBOX.c.chat, OUTBOX.c.rank, OUTBOX.c.payload,
        OUTBOX.c.queued_at, OUTBOX.c.claimed_until, OUTBOX.c.tries, OUTBOX.c.plain,
        exists()
        .where(
            _OTHER.c.state == WAITING, _OTHER.c.chat == OUTBOX.c.chat, _OTHER.c.id > OUTBOX.c.id
        )
        .label("more"),
    )
)  # fmt: skip
_NOTE_SENT = (
    update(OUTBOX)
    .where(OUTBOX.c.id == bindparam("one"))
    .values(
        state=SENT, claimed_until=0, receipt=bindparam("got"), settled_at=bindparam("at"), why=None
    )
)
_REST_A_SECOND = (
    update(PEOPLE).where(PEOPLE.c.chat == bindparam("one")).values(free_at=bindparam("free"))
)
