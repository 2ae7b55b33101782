"""A second fence between shops, on PostgreSQL, and of which shop a reply is."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from mouldwright.store.fence import fencing, unfencing

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

_BY_SHOP = (
    *("audit_entry", "booking", "counter", "declined", "feed", "kept_reply", "log_about"),
    *("log_entry", "pin", "plan", "quote", "quote_link", "quote_revision", "run"),
    *("shop_version", "sign_in", "token", "told_events"),
)


def upgrade() -> None:
    """Take the step; a reply to a keeper, who has no one shop, stays without one."""
    with op.batch_alter_table("kept_reply", schema=None) as batch_op:
        batch_op.add_column(sa.Column("shop", sa.String(length=64), nullable=True))
    op.execute(
        sa.text(
            "UPDATE kept_reply SET shop = coalesce("
            "(SELECT token.shop FROM token WHERE token.id = kept_reply.caller),"
            " (SELECT quote_link.shop FROM quote_link"
            " WHERE 'link ' || quote_link.id = kept_reply.caller))"
        )
    )
    if op.get_bind().dialect.name == "postgresql":
        statements = [*fencing("shop", "key"), *(s for t in _BY_SHOP for s in fencing(t))]
        for statement in statements:
            op.execute(statement)


def downgrade() -> None:
    """Take it back."""
    if op.get_bind().dialect.name == "postgresql":
        for table in ("shop", *_BY_SHOP):
            for statement in unfencing(table):
                op.execute(statement)
    with op.batch_alter_table("kept_reply", schema=None) as batch_op:
        batch_op.drop_column("shop")
