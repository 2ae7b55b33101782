"""Who changed what."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

import mouldwright.store.columns as columns

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    op.create_table(
        "audit_entry",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", columns.UtcInstant(), nullable=False),
        sa.Column("token", sa.String(length=100), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("role", sa.String(length=16), nullable=False),
        sa.Column("request", sa.String(length=64), nullable=False),
        sa.Column("verb", sa.String(length=16), nullable=False),
        sa.Column("thing", sa.String(length=64), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("changes", sa.Text(), nullable=False),
        sa.Column("left_out", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("shop", "number", name=op.f("pk_audit_entry")),
    )
    op.create_index(
        op.f("ix_audit_entry_shop_thing_number"), "audit_entry", ["shop", "thing", "number"]
    )


def downgrade() -> None:
    """Take it back."""
    op.drop_index(op.f("ix_audit_entry_shop_thing_number"), table_name="audit_entry")
    op.drop_table("audit_entry")
