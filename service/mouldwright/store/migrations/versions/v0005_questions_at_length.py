"""Runs that answer a question at length, beside those that make a plan."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

_ONE_OF = {"ix_run_one_running": "running", "ix_run_one_waiting": "waiting"}


def upgrade() -> None:
    """Take the step."""
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("subject", sa.String(length=250), nullable=False, server_default="plan")
        )
        batch_op.add_column(sa.Column("ask", sa.Text(), nullable=True))
        batch_op.add_column(sa.Column("answer", sa.Text(), nullable=True))
    _index(["shop", "subject"])


def downgrade() -> None:
    """Take it back; questions go, since only plans are known before."""
    op.execute("DELETE FROM run WHERE subject <> 'plan'")
    _index(["shop"])
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.drop_column("answer")
        batch_op.drop_column("ask")
        batch_op.drop_column("subject")


def _index(columns: list[str]) -> None:
    """Let no two runs of these columns be in one state."""
    for name, state in _ONE_OF.items():
        op.drop_index(name, table_name="run")
        op.create_index(
            name,
            "run",
            columns,
            unique=True,
            sqlite_where=sa.text(f"state = '{state}'"),
            postgresql_where=sa.text(f"state = '{state}'"),
        )
