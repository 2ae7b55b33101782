"""Links by which customers see a quote of theirs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

import mouldwright.store.columns as columns

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    op.create_table(
        "quote_link",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("secret_hash", sa.String(length=64), nullable=False),
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("quote", sa.Integer(), nullable=False),
        sa.Column("may_answer", sa.Boolean(), nullable=False),
        sa.Column("made_by", sa.String(length=64), nullable=False),
        sa.Column("made_at", columns.UtcInstant(), nullable=False),
        sa.Column("expires_at", columns.UtcInstant(), nullable=False),
        sa.Column("revoked_at", columns.UtcInstant(), nullable=True),
        sa.Column("answer", sa.String(length=16), nullable=True),
        sa.Column("answered_at", columns.UtcInstant(), nullable=True),
        sa.CheckConstraint(
            "answer IN ('accepted', 'declined')", name=op.f("ck_quote_link_answer_known")
        ),
        sa.ForeignKeyConstraint(
            ["shop", "quote"],
            ["quote.shop", "quote.number"],
            name=op.f("fk_quote_link_shop_quote_quote"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quote_link")),
        sa.UniqueConstraint("secret_hash", name=op.f("uq_quote_link_secret_hash")),
    )
    with op.batch_alter_table("quote_link", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_quote_link_shop_quote"), ["shop", "quote"], unique=False
        )


def downgrade() -> None:
    """Take it back."""
    with op.batch_alter_table("quote_link", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_quote_link_shop_quote"))
    op.drop_table("quote_link")
