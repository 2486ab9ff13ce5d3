"""A turn, kept: entries, messages and the next prompt's instant become durable together, once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zlib import crc32

from sqlalchemy import Boolean, Table, bindparam, case, select, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import Connection

from bot.culture.fold import extend
from bot.delivery.ports import Conversation, Kept, Rank
from bot.turn import Turn
from storage.payload import as_stored, entry_values, instant, message_text
from storage.shelf import Shelf
from storage.tables import ENTRIES, HANDLED, INBOX, OUTBOX, PEOPLE, TURNS, WAITING

PROMPT_CAUSE = "prompt:"


class Contested(Exception):
    """Somebody has kept one of these turns, or another for the same person."""


@dataclass(frozen=True, slots=True)
class Keeping:
    """One request to keep a turn, with its rows made: what cannot be stored fails before."""

    conversation: Conversation
    turn: Turn
    now: datetime
    cause: str
    entries: tuple[dict[str, object], ...]
    messages: tuple[dict[str, object], ...]


def keeping(conversation: Conversation, turn: Turn, *, now: datetime, cause: str) -> Keeping:
    """Make the rows. Raises ValueError for what no database can hold."""
    person, chat = conversation.person_key, conversation.chat
    rank = Rank.PROMPT if cause.startswith(PROMPT_CAUSE) else Rank.REPLY
    return Keeping(
        conversation=conversation,
        turn=turn,
        now=now,
        cause=cause,
        entries=tuple(entry_values(person, entry) for entry in turn.entries),
        messages=tuple(
            {
                "key": f"{cause}/{number}",
                "chat": chat,
                "rank": int(rank),
                "queued_at": instant(now),
                "state": WAITING,
                "tries": 0,
                "plain": False,
                "not_before": 0,
                "claimed_until": 0,
                "payload": message_text(message),
            }
            for number, message in enumerate(turn.messages)
        ),
    )


def keep_uncontested(connection: Connection, asked: Sequence[Keeping]) -> Sequence[Kept]:
    """Keep turns of which each is new, as nearly all are, with the fewest statements.

    Raises Contested when one is not: then undo, and ``keep_contested``.
    """
    people = {one.conversation.person_key for one in asked}
    if not (
        len(people) == len(asked)
        and _move_on(connection, asked)
        and _note_causes(connection, asked)
    ):
        raise Contested
    _write(connection, asked)
    return ["kept"] * len(asked)


def keep_contested(connection: Connection, asked: Sequence[Keeping]) -> Sequence[Kept]:
    """Keep what is new; one turn a person, the first that asked."""
    _welcome(connection, asked)
    causes = [one.cause for one in asked]
    known = set(connection.scalars(_KNOWN_CAUSES, {"causes": causes}))
    keys = sorted({one.conversation.person_key for one in asked})
    rows = connection.execute(_LOCK_PEOPLE, {"people": keys})
    versions = {row.key: row.version for row in rows}
    outcomes: list[Kept] = []
    fresh: list[Keeping] = []
    for one in asked:
        key = one.conversation.person_key
        if one.cause in known:
            outcomes.append("known")
        elif versions.get(key, 0) != one.conversation.version:
            outcomes.append("overtaken")
        else:
            outcomes.append("kept")
            fresh.append(one)
            versions[key] = -1
            known.add(one.cause)
    if fresh:
        _move_on(connection, fresh)
        _note_causes(connection, fresh)
        _write(connection, fresh)
    handled = [one.cause for one in asked if one.cause in known]
    connection.execute(_HANDLE, {"causes": handled})
    return outcomes


def put_kept(shelf: Shelf, one: Keeping) -> None:
    """After the commit: the dossier as the next load would find it."""
    talk = one.conversation
    entries = [as_stored(entry) for entry in one.turn.entries]
    shelf.put(talk.person_key, talk.version + 1, extend(talk.dossier, entries))


def _welcome(connection: Connection, asked: Sequence[Keeping]) -> None:
    """A row for everybody who has none."""
    strangers = [one.conversation for one in asked if one.conversation.version == 0]
    if strangers:
        strangers.sort(key=lambda stranger: stranger.person_key)
        connection.execute(
            _if_new(connection, PEOPLE), [_new_person(stranger) for stranger in strangers]
        )


def _move_on(connection: Connection, asked: Sequence[Keeping]) -> bool:
    """The next version of each person; False when somebody's was not the one that was loaded."""
    _welcome(connection, asked)
    in_order = sorted(asked, key=lambda one: one.conversation.person_key)
    done = connection.execute(
        _MOVE_ON,
        [
            {
                "one": one.conversation.person_key,
                "was": one.conversation.version,
                "due": _instant_or_none(one.turn.next_prompt_at),
                "spoke_first": one.cause.startswith(PROMPT_CAUSE),
            }
            for one in in_order
        ],
    )
    return done.rowcount == len(asked)


def _note_causes(connection: Connection, asked: Sequence[Keeping]) -> bool:
    """False when a cause was noted before."""
    done = connection.execute(
        _if_new(connection, TURNS),
        [
            {"cause": one.cause, "person": one.conversation.person_key, "at": instant(one.now)}
            for one in asked
        ],
    )
    return done.rowcount == len(asked)


def _write(connection: Connection, fresh: Sequence[Keeping]) -> None:
    entries = [row for one in fresh for row in one.entries]
    if entries:
        connection.execute(ENTRIES.insert(), entries)
    messages = [row for one in fresh for row in one.messages]
    if messages:
        connection.execute(OUTBOX.insert(), messages)
    answered = [one for one in fresh if not one.cause.startswith(PROMPT_CAUSE)]
    if answered:
        connection.execute(_PROMOTE, {"chats": [one.conversation.chat for one in answered]})
        connection.execute(_HANDLE, {"causes": [one.cause for one in answered]})


def _instant_or_none(at: datetime | None) -> int | None:
    return None if at is None else instant(at)


def _new_person(talk: Conversation) -> dict[str, object]:
    return {
        "key": talk.person_key,
        "chat": talk.chat,
        "version": 0,
        "slot": crc32(talk.person_key.encode()) & 0x7FFFFFFF,
        "at_rest": False,
        "free_at": 0,
    }


def _if_new(connection: Connection, table: Table) -> sqlite.Insert | postgresql.Insert:
    insert = sqlite.insert if connection.dialect.name == "sqlite" else postgresql.insert
    return insert(table).on_conflict_do_nothing().execution_options(preserve_rowcount=True)


_KNOWN_CAUSES = select(TURNS.c.cause).where(TURNS.c.cause.in_(bindparam("causes", expanding=True)))
_LOCK_PEOPLE = (
    select(PEOPLE.c.key, PEOPLE.c.version)
    .where(PEOPLE.c.key.in_(bindparam("people", expanding=True)))
    .order_by(PEOPLE.c.key)
    .with_for_update()
)
_MOVE_ON = (
    update(PEOPLE)
    .where(PEOPLE.c.key == bindparam("one"), PEOPLE.c.version == bindparam("was"))
    .values(
        version=PEOPLE.c.version + 1,
        next_prompt_at=bindparam("due"),
        due_claimed_until=None,
        # Whoever writes to us does not block us.
        at_rest=case((bindparam("spoke_first", type_=Boolean), PEOPLE.c.at_rest), else_=False),
    )
)
# A reply must not wait behind bulk because a prompt to the same chat is in front of it.
_PROMOTE = (
    update(OUTBOX)
    .where(
        OUTBOX.c.state == WAITING,
        OUTBOX.c.chat.in_(bindparam("chats", expanding=True)),
        OUTBOX.c.rank > int(Rank.REPLY),
    )
    .values(rank=int(Rank.REPLY))
)
_HANDLE = (
    update(INBOX)
    .where(INBOX.c.key.in_(bindparam("causes", expanding=True)))
    .values(state=HANDLED, claimed_until=0)
)
