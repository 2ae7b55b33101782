"""Whose turn it is: when a shop was last served is found by an index."""

from __future__ import annotations

from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    op.create_index(op.f("ix_run_shop_begun_at"), "run", ["shop", "begun_at"])


def downgrade() -> None:
    """Take it back."""
    op.drop_index(op.f("ix_run_shop_begun_at"), table_name="run")
