"""What is agreed in a quote beside part and quantity, the customer's address, the day's end."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    with op.batch_alter_table("quote_revision", schema=None) as batch_op:
        batch_op.add_column(sa.Column("terms", sa.Text(), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("address", sa.Text(), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("day_ends_minute", sa.Integer(), nullable=True))


def downgrade() -> None:
    """Take it back."""
    with op.batch_alter_table("quote_revision", schema=None) as batch_op:
        batch_op.drop_column("day_ends_minute")
        batch_op.drop_column("address")
        batch_op.drop_column("terms")
