"""People and their journals, loaded."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import BindParameter, bindparam, or_, select
from sqlalchemy.engine import Connection

from bot.culture.fold import fold
from bot.culture.journal import Entry
from bot.culture.state import Dossier
from bot.delivery.ports import Conversation
from storage.payload import entry_of, moment
from storage.shelf import Shelf
from storage.tables import ENTRIES, PEOPLE


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


def _stranger(name: str) -> Conversation:
    return Conversation(person_key=name, chat=name, dossier=Dossier(person_key=name), version=0)


_NAMES: BindParameter[list[str]] = bindparam("names", expanding=True)
_PEOPLE_BY_NAME = select(
    PEOPLE.c.key, PEOPLE.c.chat, PEOPLE.c.version, PEOPLE.c.next_prompt_at
).where(or_(PEOPLE.c.key.in_(_NAMES), PEOPLE.c.chat.in_(_NAMES)))
_ENTRIES_OF = (
    select(ENTRIES)
    .where(ENTRIES.c.person.in_(bindparam("people", expanding=True)))
    .order_by(ENTRIES.c.person, ENTRIES.c.number)
)
