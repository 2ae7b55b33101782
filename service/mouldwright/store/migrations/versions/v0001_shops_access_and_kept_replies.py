"""Shops, access and kept replies."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

import mouldwright.store.columns as columns

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    op.create_table(
        "kept_reply",
        sa.Column("caller", sa.String(length=64), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("headers", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("kept_at", columns.UtcInstant(), nullable=False),
        sa.PrimaryKeyConstraint("caller", "key", name=op.f("pk_kept_reply")),
    )
    with op.batch_alter_table("kept_reply", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_kept_reply_kept_at"), ["kept_at"], unique=False)

    op.create_table(
        "shop",
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("added_at", columns.UtcInstant(), nullable=False),
        sa.CheckConstraint("version >= 1", name=op.f("ck_shop_version_from_1")),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_shop")),
    )
    op.create_table(
        "shop_version",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("written_at", columns.UtcInstant(), nullable=False),
        sa.Column("written_by", sa.String(length=64), nullable=False),
        sa.CheckConstraint("version >= 1", name=op.f("ck_shop_version_version_from_1")),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_shop_version_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("shop", "version", name=op.f("pk_shop_version")),
    )
    op.create_table(
        "sign_in",
        sa.Column("code_hash", sa.String(length=64), nullable=False),
        sa.Column("shop", sa.String(length=64), nullable=True),
        sa.Column("role", sa.String(length=16), nullable=False),
        sa.Column("expires_at", columns.UtcInstant(), nullable=False),
        sa.Column("used_at", columns.UtcInstant(), nullable=True),
        sa.CheckConstraint("(role = 'keeper') = (shop IS NULL)", name=op.f("ck_sign_in_one_shop")),
        sa.CheckConstraint(
            "role IN ('keeper', 'owner', 'planner', 'bench', 'viewer')",
            name=op.f("ck_sign_in_role_known"),
        ),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_sign_in_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("code_hash", name=op.f("pk_sign_in")),
    )
    op.create_table(
        "token",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("secret_hash", sa.String(length=64), nullable=False),
        sa.Column("shop", sa.String(length=64), nullable=True),
        sa.Column("role", sa.String(length=16), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("issued_at", columns.UtcInstant(), nullable=False),
        sa.Column("expires_at", columns.UtcInstant(), nullable=False),
        sa.Column("revoked_at", columns.UtcInstant(), nullable=True),
        sa.CheckConstraint("(role = 'keeper') = (shop IS NULL)", name=op.f("ck_token_one_shop")),
        sa.CheckConstraint(
            "role IN ('keeper', 'owner', 'planner', 'bench', 'viewer')",
            name=op.f("ck_token_role_known"),
        ),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_token_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_token")),
        sa.UniqueConstraint("secret_hash", name=op.f("uq_token_secret_hash")),
    )
    with op.batch_alter_table("token", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_token_shop"), ["shop"], unique=False)


def downgrade() -> None:
    """Take it back."""
    with op.batch_alter_table("token", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_token_shop"))

    op.drop_table("token")
    op.drop_table("sign_in")
    op.drop_table("shop_version")
    op.drop_table("shop")
    with op.batch_alter_table("kept_reply", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_kept_reply_kept_at"))

    op.drop_table("kept_reply")
