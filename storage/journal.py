"""People and their journal: load a conversation, keep a turn."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from threading import Lock
from zlib import crc32

from sqlalchemy import BindParameter, Boolean, Table, bindparam, case, or_, select, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import Connection

from bot.culture.fold import extend, fold
from bot.culture.journal import Entry
from bot.culture.state import Dossier
from bot.delivery.ports import Conversation, Kept, Rank
from bot.turn import Turn
from storage.payload import as_stored, entry_of, entry_values, instant, message_text, moment
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


class Shelf:
    """Dossiers at hand, so that an unchanged journal is neither read nor folded again.

    Safe because a journal only grows: a dossier is valid for the version it was loaded with. Holds
    ``most`` entries in all; the person not heard of for longest goes first.
    """

    def __init__(self, most: int = 20_000) -> None:
        self._most = most
        self._held = 0
        self._dossiers: OrderedDict[str, tuple[int, Dossier]] = OrderedDict()
        self._lock = Lock()  # SQLite loads on a thread of its own

    def get(self, person: str, version: int) -> Dossier | None:
        with self._lock:
            held = self._dossiers.get(person)
            if held is None or held[0] != version:
                return None
            self._dossiers.move_to_end(person)
            return held[1]

    def put(self, person: str, version: int, dossier: Dossier) -> None:
        with self._lock:
            self._put(person, version, dossier)

    def _put(self, person: str, version: int, dossier: Dossier) -> None:
        before = self._dossiers.pop(person, None)
        if before is not None:
            if before[0] > version:  # an older load that finished late
                version, dossier = before
            self._held -= _weight(before[1])
        self._dossiers[person] = (version, dossier)
        self._held += _weight(dossier)
        while self._held > self._most and len(self._dossiers) > 1:
            _, (_, gone) = self._dossiers.popitem(last=False)
            self._held -= _weight(gone)


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


def load(connection: Connection, shelf: Shelf, names: Sequence[str]) -> Sequence[Conversation]:
    """The people with these keys or addresses, in that order."""
    rows = connection.execute(_PEOPLE_BY_NAME, {"names": list(names)})
    people = rows.all()
    by_chat = {row.chat: row for row in people}
    by_key = {row.key: row for row in people}
    found = {name: by_chat.get(name) or by_key.get(name) for name in names}
    wanted = {row.key for row in found.values() if row and shelf.get(row.key, row.version) is None}
    journals: dict[str, list[Entry]] = {key: [] for key in wanted}
    if wanted:
        for line in connection.execute(_ENTRIES_OF, {"people": list(wanted)}):
            journals[line.person].append(
                entry_of(line.number, line.culture, line.at, line.offset_s, line.payload)
            )
    conversations = []
    for name in names:
        row = found[name]
        if row is None:
            conversations.append(_stranger(name))
            continue
        dossier = shelf.get(row.key, row.version)
        if dossier is None:
            dossier = fold(row.key, journals[row.key])
            shelf.put(row.key, row.version, dossier)
        conversations.append(
            Conversation(
                person_key=row.key,
                chat=row.chat,
                dossier=dossier,
                version=row.version,
                next_prompt_at=None if row.next_prompt_at is None else moment(row.next_prompt_at),
            )
        )
    return conversations


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


def _stranger(name: str) -> Conversation:
    return Conversation(person_key=name, chat=name, dossier=Dossier(person_key=name), version=0)


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


def _weight(dossier: Dossier) -> int:
    return len(dossier.journal) + 1


_NAMES: BindParameter[list[str]] = bindparam("names", expanding=True)
_PEOPLE_BY_NAME = select(
    PEOPLE.c.key, PEOPLE.c.chat, PEOPLE.c.version, PEOPLE.c.next_prompt_at
).where(or_(PEOPLE.c.key.in_(_NAMES), PEOPLE.c.chat.in_(_NAMES)))
_ENTRIES_OF = (
    select(ENTRIES)
    .where(ENTRIES.c.person.in_(bindparam("people", expanding=True)))
    .order_by(ENTRIES.c.person, ENTRIES.c.number)
)
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
