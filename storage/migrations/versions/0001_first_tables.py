"""People, their journal, the inbox and the outbox."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

COUNT = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "people",
        sa.Column("key", sa.Text, primary_key=True),
        sa.Column("chat", sa.Text, nullable=False, unique=True),
        sa.Column("version", sa.BigInteger, nullable=False),
        sa.Column("slot", sa.Integer, nullable=False),
        sa.Column("next_prompt_at", sa.BigInteger),
        sa.Column("due_claimed_until", sa.BigInteger),
        sa.Column("at_rest", sa.Boolean, nullable=False),
        sa.Column("free_at", sa.BigInteger, nullable=False),
    )
    op.create_index("people_due", "people", ["next_prompt_at", "slot"])
    op.create_table(
        "entries",
        sa.Column("person", sa.Text, primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("culture", sa.Text),
        sa.Column("at", sa.BigInteger, nullable=False),
        sa.Column("offset_s", sa.Integer, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("payload", sa.Text, nullable=False),
    )
    op.create_table(
        "turns",
        sa.Column("cause", sa.Text, primary_key=True),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("at", sa.BigInteger, nullable=False),
    )
    op.create_table(
        "inbox",
        sa.Column("id", COUNT, primary_key=True),
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("chat", sa.Text, nullable=False),
        sa.Column("place", sa.BigInteger, nullable=False),
        sa.Column("received_at", sa.BigInteger, nullable=False),
        sa.Column("state", sa.Text, nullable=False),
        sa.Column("tries", sa.Integer, nullable=False),
        sa.Column("claims", sa.Integer, nullable=False),
        sa.Column("not_before", sa.BigInteger, nullable=False),
        sa.Column("claimed_until", sa.BigInteger, nullable=False),
        sa.Column("payload", sa.Text, nullable=False),
        sa.Column("why", sa.Text),
        sa.UniqueConstraint("key", name="inbox_key"),
    )
    op.create_index("inbox_heads", "inbox", ["state", "chat", "place", "id"])
    op.create_index("inbox_age", "inbox", ["state", "id"])
    op.create_table(
        "outbox",
        sa.Column("id", COUNT, primary_key=True),
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("chat", sa.Text, nullable=False),
        sa.Column("rank", sa.Integer, nullable=False),
        sa.Column("queued_at", sa.BigInteger, nullable=False),
        sa.Column("state", sa.Text, nullable=False),
        sa.Column("tries", sa.Integer, nullable=False),
        sa.Column("plain", sa.Boolean, nullable=False),
        sa.Column("not_before", sa.BigInteger, nullable=False),
        sa.Column("claimed_until", sa.BigInteger, nullable=False),
        sa.Column("payload", sa.Text, nullable=False),
        sa.Column("receipt", sa.Text),
        sa.Column("settled_at", sa.BigInteger),
        sa.Column("why", sa.Text),
        sa.UniqueConstraint("key", name="outbox_key"),
    )
    op.create_index("outbox_queue", "outbox", ["state", "rank", "id"])
    op.create_index("outbox_heads", "outbox", ["state", "chat", "id"])
    budget = op.create_table(
        "budget",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("free_at", sa.BigInteger, nullable=False),
        sa.Column("held_until", sa.BigInteger, nullable=False),
    )
    op.bulk_insert(budget, [{"id": 1, "free_at": 0, "held_until": 0}])


def downgrade() -> None:
    for table in ("budget", "outbox", "inbox", "turns", "entries", "people"):
        op.drop_table(table)
