"""The tables. Every instant is a whole number of microseconds since 1970 in UTC.

``people``  one row a person: address, next prompt, version of the journal
``entries`` the append-only journal
``turns``   the causes of what was kept, so that nothing is kept twice
``inbox``   updates, from the moment they are acknowledged
``outbox``  messages, from the moment they are decided
``budget``  the one send budget that all processes share
``leases``  what only one of them may do at a time
"""

from __future__ import annotations

from sqlalchemy import BigInteger, Column, Index, Integer, MetaData, Table, Text, UniqueConstraint
from sqlmodel import Field, SQLModel

Count = BigInteger().with_variant(Integer(), "sqlite")
"""Row numbers: SQLite counts by itself only in a column that is called INTEGER."""

WAITING = "waiting"
HANDLED = "handled"
ASIDE = "aside"
SENT = "sent"
GIVEN_UP = "given-up"


class PersonRow(SQLModel, table=True):
    __tablename__ = "people"
    __table_args__ = (Index("people_due", "next_prompt_at", "slot"),)

    key: str = Field(sa_column=Column(Text, primary_key=True))
    chat: str = Field(sa_column=Column(Text, nullable=False, unique=True))
    """Where messages go now; the key stays what it was when the chat moves."""
    version: int = Field(sa_type=BigInteger)
    """Counts what was kept: who loaded an older one has been overtaken."""
    slot: int = Field(sa_type=Integer)
    """A stable place among those who are due at the same instant."""
    next_prompt_at: int | None = Field(default=None, sa_type=BigInteger)
    due_claimed_until: int | None = Field(default=None, sa_type=BigInteger)
    at_rest: bool = False
    """They blocked us: nothing is sent until they write again."""
    free_at: int = Field(default=0, sa_type=BigInteger)
    """Before this instant the service wants no further message in the chat."""


class EntryRow(SQLModel, table=True):
    __tablename__ = "entries"

    person: str = Field(sa_column=Column(Text, primary_key=True))
    number: int = Field(sa_column=Column(Integer, primary_key=True, autoincrement=False))
    culture: str | None = Field(default=None, sa_type=Text)
    at: int = Field(sa_type=BigInteger)
    offset_s: int = Field(sa_type=Integer)
    """Seconds east of UTC on the writer's clock at that instant."""
    kind: str = Field(sa_type=Text)
    payload: str = Field(sa_type=Text)


class TurnRow(SQLModel, table=True):
    __tablename__ = "turns"

    cause: str = Field(sa_column=Column(Text, primary_key=True))
    person: str = Field(sa_type=Text)
    at: int = Field(sa_type=BigInteger)


class InboxRow(SQLModel, table=True):
    __tablename__ = "inbox"
    __table_args__ = (
        UniqueConstraint("key", name="inbox_key"),
        Index("inbox_heads", "state", "chat", "place", "id"),
        Index("inbox_age", "state", "id"),
    )

    id: int | None = Field(default=None, sa_column=Column(Count, primary_key=True))
    key: str = Field(sa_type=Text)
    chat: str = Field(sa_type=Text)
    place: int = Field(sa_type=BigInteger)
    """The service's running number, 0 where it has none."""
    received_at: int = Field(sa_type=BigInteger)
    state: str = Field(sa_type=Text)
    tries: int = Field(default=0, sa_type=Integer)
    """Failures that were told."""
    claims: int = Field(default=0, sa_type=Integer)
    """Times it was taken in hand, told of or not: a message that kills its process counts here."""
    not_before: int = Field(default=0, sa_type=BigInteger)
    claimed_until: int = Field(default=0, sa_type=BigInteger)
    payload: str = Field(sa_type=Text)
    why: str | None = Field(default=None, sa_type=Text)


class OutboxRow(SQLModel, table=True):
    __tablename__ = "outbox"
    __table_args__ = (
        UniqueConstraint("key", name="outbox_key"),
        Index("outbox_queue", "state", "rank", "id"),
        Index("outbox_heads", "state", "chat", "id"),
    )

    id: int | None = Field(default=None, sa_column=Column(Count, primary_key=True))
    key: str = Field(sa_type=Text)
    chat: str = Field(sa_type=Text)
    rank: int = Field(sa_type=Integer)
    queued_at: int = Field(sa_type=BigInteger)
    state: str = Field(sa_type=Text)
    tries: int = Field(default=0, sa_type=Integer)
    plain: bool = False
    not_before: int = Field(default=0, sa_type=BigInteger)
    claimed_until: int = Field(default=0, sa_type=BigInteger)
    payload: str = Field(sa_type=Text)
    receipt: str | None = Field(default=None, sa_type=Text)
    settled_at: int | None = Field(default=None, sa_type=BigInteger)
    why: str | None = Field(default=None, sa_type=Text)


class BudgetRow(SQLModel, table=True):
    __tablename__ = "budget"

    id: int = Field(sa_column=Column(Integer, primary_key=True, autoincrement=False))
    free_at: int = Field(default=0, sa_type=BigInteger)
    """The first slot that nobody has taken."""
    held_until: int = Field(default=0, sa_type=BigInteger)
    """The service asked the whole bot to wait until then."""


class LeaseRow(SQLModel, table=True):
    __tablename__ = "leases"

    name: str = Field(sa_column=Column(Text, primary_key=True))
    holder: str = Field(sa_type=Text)
    until: int = Field(sa_type=BigInteger)


METADATA: MetaData = SQLModel.metadata
PEOPLE: Table = METADATA.tables["people"]
ENTRIES: Table = METADATA.tables["entries"]
TURNS: Table = METADATA.tables["turns"]
INBOX: Table = METADATA.tables["inbox"]
OUTBOX: Table = METADATA.tables["outbox"]
BUDGET: Table = METADATA.tables["budget"]
LEASES: Table = METADATA.tables["leases"]
