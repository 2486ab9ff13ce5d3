"""Leases: what only one process may do at a time."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "leases",
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("holder", sa.Text, nullable=False),
        sa.Column("until", sa.BigInteger, nullable=False),
    )


def downgrade() -> None:
    op.drop_table("leases")
