"""The trace that a run belongs to, so that whichever process takes it up goes on under it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("traceparent", sa.String(length=55), nullable=False, server_default="")
        )


def downgrade() -> None:
    """Take it back."""
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.drop_column("traceparent")
