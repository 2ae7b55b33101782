"""Feeds behind addresses of their own, and what calendars were told."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

import mouldwright.store.columns as columns

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    op.create_table(
        "feed",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("secret_hash", sa.String(length=64), nullable=False),
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("about", sa.String(length=16), nullable=False),
        sa.Column("key", sa.String(length=250), nullable=False),
        sa.Column("label", sa.String(length=200), nullable=False),
        sa.Column("made_by", sa.String(length=64), nullable=False),
        sa.Column("made_at", columns.UtcInstant(), nullable=False),
        sa.Column("revoked_at", columns.UtcInstant(), nullable=True),
        sa.CheckConstraint("kind IN ('calendar', 'notices')", name=op.f("ck_feed_kind_known")),
        sa.CheckConstraint(
            "about IN ('shop', 'person', 'mould', 'station')", name=op.f("ck_feed_about_known")
        ),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_feed_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_feed")),
        sa.UniqueConstraint("secret_hash", name=op.f("uq_feed_secret_hash")),
    )
    with op.batch_alter_table("feed", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_feed_shop"), ["shop"], unique=False)
    op.create_table(
        "told_events",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("mark", sa.String(length=200), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_told_events_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("shop", name=op.f("pk_told_events")),
    )


def downgrade() -> None:
    """Take it back."""
    op.drop_table("told_events")
    with op.batch_alter_table("feed", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_feed_shop"))
    op.drop_table("feed")
