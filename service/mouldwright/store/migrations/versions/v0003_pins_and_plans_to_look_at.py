"""Pins, and runs whose plan is looked at before it holds."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

import mouldwright.store.columns as columns

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    op.create_table(
        "pin",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("pinned_at", columns.UtcInstant(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_pin_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("shop", "id", name=op.f("pk_pin")),
    )
    # Runs that were asked for before published their plan themselves.
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("publishes", sa.Boolean(), nullable=False, server_default=sa.true())
        )


def downgrade() -> None:
    """Take it back."""
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.drop_column("publishes")
    op.drop_table("pin")
