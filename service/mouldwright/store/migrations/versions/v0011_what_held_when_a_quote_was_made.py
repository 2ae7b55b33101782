"""What the bench worked by when a quote was made: its log, its plan and what was pinned."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    with op.batch_alter_table("quote_revision", schema=None) as batch_op:
        batch_op.add_column(sa.Column("log_last", sa.Integer(), nullable=False, server_default="0"))
        batch_op.add_column(sa.Column("plan_version", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("pins", sa.Text(), nullable=False, server_default=""))
    with op.batch_alter_table("pin", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("binds", sa.Boolean(), nullable=False, server_default=sa.true())
        )


def downgrade() -> None:
    """Take it back; what was taken out of the board goes for good."""
    op.execute(sa.text("DELETE FROM pin WHERE NOT binds"))
    with op.batch_alter_table("pin", schema=None) as batch_op:
        batch_op.drop_column("binds")
    with op.batch_alter_table("quote_revision", schema=None) as batch_op:
        batch_op.drop_column("pins")
        batch_op.drop_column("plan_version")
        batch_op.drop_column("log_last")
