"""Who is due for a prompt, when the next thing is due, and what a clock set back leaves behind."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, bindparam, case, func, or_, select, update
from sqlalchemy.engine import Connection

from storage import inbox, outbox
from storage.inbox import CLOCK_SLACK
from storage.payload import instant, moment
from storage.tables import BUDGET, INBOX, OUTBOX, PEOPLE


def take(
    connection: Connection, *, now: datetime, claim_for: timedelta, limit: int
) -> Sequence[str]:
    """Claim people who are due, by the instant and then by a place that never changes."""
    found = connection.execute(
        _TAKE,
        {
            "now": instant(now),
            "far": instant(now + claim_for + CLOCK_SLACK),
            "until": instant(now + claim_for),
            "most": limit,
        },
    )
    return [row.key for row in sorted(found.all(), key=lambda r: (r.next_prompt_at, r.slot, r.key))]


def next_due(connection: Connection) -> datetime | None:
    held = connection.scalar(select(BUDGET.c.held_until))
    arrived = connection.scalar(_FIRST_INBOUND)
    leaving = connection.scalar(_FIRST_OUTGOING)
    if leaving is not None:
        leaving = max(leaving, held or 0)
    prompt = connection.scalar(_FIRST_PROMPT)
    instants = [found for found in (arrived, leaving, prompt) if found is not None]
    return moment(min(instants)) if instants else None


def forget_future(connection: Connection, *, now: datetime) -> None:
    """Waits and claims beyond ``now`` were measured by a clock that has since been set back."""
    at = instant(now)
    for table in (INBOX, OUTBOX):
        connection.execute(update(table).where(table.c.not_before > at).values(not_before=at))
        connection.execute(update(table).where(table.c.claimed_until > at).values(claimed_until=0))
    connection.execute(
        update(PEOPLE).where(PEOPLE.c.due_claimed_until > at).values(due_claimed_until=None)
    )
    connection.execute(update(PEOPLE).where(PEOPLE.c.free_at > at).values(free_at=at))
    connection.execute(update(BUDGET).where(BUDGET.c.free_at > at).values(free_at=at))
    connection.execute(update(BUDGET).where(BUDGET.c.held_until > at).values(held_until=at))


def _later(*instants: ColumnElement[int]) -> ColumnElement[int]:
    """The latest of some columns: the two databases call that by different names."""
    latest = instants[0]
    for other in instants[1:]:
        latest = case((latest > other, latest), else_=other)
    return latest


_PICKED = (
    select(PEOPLE.c.key)
    .where(
        PEOPLE.c.next_prompt_at <= bindparam("now"),
        ~PEOPLE.c.at_rest,
        or_(
            PEOPLE.c.due_claimed_until.is_(None),
            PEOPLE.c.due_claimed_until <= bindparam("now"),
            PEOPLE.c.due_claimed_until > bindparam("far"),
        ),
    )
    .order_by(PEOPLE.c.next_prompt_at, PEOPLE.c.slot)
    .limit(bindparam("most"))
    .with_for_update(skip_locked=True)
    .cte("picked")
)
_TAKE = (
    update(PEOPLE)
    .where(PEOPLE.c.key.in_(select(_PICKED.c.key)))
    .values(due_claimed_until=bindparam("until"))
    .returning(PEOPLE.c.key, PEOPLE.c.next_prompt_at, PEOPLE.c.slot)
)
_FIRST_INBOUND = select(func.min(_later(INBOX.c.not_before, INBOX.c.claimed_until))).where(
    inbox.HEAD
)
_FIRST_OUTGOING = (
    select(
        func.min(
            _later(OUTBOX.c.not_before, OUTBOX.c.claimed_until, func.coalesce(PEOPLE.c.free_at, 0))
        )
    )
    .select_from(OUTBOX.outerjoin(PEOPLE, PEOPLE.c.chat == OUTBOX.c.chat))
    .where(outbox.HEAD)
)
_FIRST_PROMPT = select(
    func.min(_later(PEOPLE.c.next_prompt_at, func.coalesce(PEOPLE.c.due_claimed_until, 0)))
).where(PEOPLE.c.next_prompt_at.is_not(None), ~PEOPLE.c.at_rest)
