"""The log of the bench, and what each entry is about."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

import mouldwright.store.columns as columns

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    op.create_table(
        "log_entry",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("what", sa.String(length=16), nullable=False),
        sa.Column("at", columns.UtcInstant(), nullable=False),
        sa.Column("takes_back", sa.Integer(), nullable=True),
        sa.Column("said_once", sa.String(length=200), nullable=True),
        sa.Column("document", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_log_entry_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("shop", "number", name=op.f("pk_log_entry")),
    )
    op.create_index(
        op.f("ix_log_entry_shop_said_once"), "log_entry", ["shop", "said_once"], unique=True
    )
    op.create_index(op.f("ix_log_entry_shop_at"), "log_entry", ["shop", "at"], unique=False)
    op.create_table(
        "log_about",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(
            ["shop", "number"],
            ["log_entry.shop", "log_entry.number"],
            name=op.f("fk_log_about_shop_number_log_entry"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("shop", "number", "kind", "name", name=op.f("pk_log_about")),
    )
    op.create_index(
        op.f("ix_log_about_shop_kind_name_number"),
        "log_about",
        ["shop", "kind", "name", "number"],
        unique=False,
    )


def downgrade() -> None:
    """Take it back."""
    op.drop_table("log_about")
    op.drop_table("log_entry")
