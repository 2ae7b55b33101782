"""What was declined of what the log teaches."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

import mouldwright.store.columns as columns

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    op.create_table(
        "declined",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("key", sa.String(length=400), nullable=False),
        sa.Column("evidence", sa.Integer(), nullable=False),
        sa.Column("declined_at", columns.UtcInstant(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_declined_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("shop", "key", name=op.f("pk_declined")),
    )


def downgrade() -> None:
    """Take it back."""
    op.drop_table("declined")
