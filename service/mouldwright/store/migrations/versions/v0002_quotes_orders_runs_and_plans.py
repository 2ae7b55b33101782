"""Quotes, orders, runs and plans."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

import mouldwright.store.columns as columns

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Take the step."""
    op.create_table(
        "counter",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(length=16), nullable=False),
        sa.Column("value", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_counter_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("shop", "name", name=op.f("pk_counter")),
    )
    op.create_table(
        "plan",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("shop_version", sa.Integer(), nullable=False),
        sa.Column("book_version", sa.Integer(), nullable=False),
        sa.Column("run", sa.String(length=64), nullable=False),
        sa.Column("made_at", columns.UtcInstant(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_plan_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("shop", "version", name=op.f("pk_plan")),
    )
    op.create_table(
        "quote",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_quote_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("shop", "number", name=op.f("pk_quote")),
    )
    op.create_table(
        "run",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("state", sa.String(length=16), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("seconds", sa.Float(), nullable=False),
        sa.Column("seed", sa.Integer(), nullable=False),
        sa.Column("asked_at", columns.UtcInstant(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("worker", sa.String(length=64), nullable=False),
        sa.Column("leased_until", columns.UtcInstant(), nullable=True),
        sa.Column("begun_at", columns.UtcInstant(), nullable=True),
        sa.Column("ended_at", columns.UtcInstant(), nullable=True),
        sa.Column("cancel_asked", sa.Boolean(), nullable=False),
        sa.Column("shop_version", sa.Integer(), nullable=True),
        sa.Column("book_version", sa.Integer(), nullable=True),
        sa.Column("progress", sa.Text(), nullable=True),
        sa.Column("problems", sa.Text(), nullable=False),
        sa.Column("plan_version", sa.Integer(), nullable=True),
        sa.Column("best", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "state IN ('waiting', 'running', 'done', 'stale', 'cancelled', 'impossible', "
            "'set aside')",
            name=op.f("ck_run_state_known"),
        ),
        sa.ForeignKeyConstraint(
            ["shop"], ["shop.key"], name=op.f("fk_run_shop_shop"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run")),
    )
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.create_index(
            "ix_run_one_running",
            ["shop"],
            unique=True,
            sqlite_where=sa.text("state = 'running'"),
            postgresql_where=sa.text("state = 'running'"),
        )
        batch_op.create_index(
            "ix_run_one_waiting",
            ["shop"],
            unique=True,
            sqlite_where=sa.text("state = 'waiting'"),
            postgresql_where=sa.text("state = 'waiting'"),
        )
        batch_op.create_index(
            batch_op.f("ix_run_shop_asked_at"), ["shop", "asked_at"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_run_state_asked_at"), ["state", "asked_at"], unique=False
        )

    op.create_table(
        "quote_revision",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=16), nullable=False),
        sa.Column("shop_version", sa.Integer(), nullable=False),
        sa.Column("part", sa.Text(), nullable=False),
        sa.Column("process", sa.Text(), nullable=True),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("now_minute", sa.Integer(), nullable=False),
        sa.Column("given_up", sa.Integer(), nullable=False),
        sa.Column("booked", sa.Text(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("zone", sa.String(length=64), nullable=False),
        sa.Column("unit_cost", columns.ExactDecimal(), nullable=False),
        sa.Column("price_each", columns.ExactDecimal(), nullable=False),
        sa.Column("net", columns.ExactDecimal(), nullable=False),
        sa.Column("tax", columns.ExactDecimal(), nullable=False),
        sa.Column("gross", columns.ExactDecimal(), nullable=False),
        sa.Column("deposit", columns.ExactDecimal(), nullable=False),
        sa.Column("finish_minute", sa.Integer(), nullable=True),
        sa.Column("finish_odds", columns.ExactDecimal(), nullable=True),
        sa.Column("valid_until", sa.Date(), nullable=False),
        sa.Column("made_at", columns.UtcInstant(), nullable=False),
        sa.Column("moved_at", columns.UtcInstant(), nullable=False),
        sa.Column("customer", sa.Text(), nullable=False),
        sa.Column("due", columns.UtcInstant(), nullable=True),
        sa.Column("document", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "state IN ('draft', 'sent', 'accepted', 'declined', 'lapsed', 'superseded')",
            name=op.f("ck_quote_revision_state_known"),
        ),
        sa.ForeignKeyConstraint(
            ["shop", "number"],
            ["quote.shop", "quote.number"],
            name=op.f("fk_quote_revision_shop_number_quote"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["shop", "shop_version"],
            ["shop_version.shop", "shop_version.version"],
            name=op.f("fk_quote_revision_shop_shop_version_shop_version"),
        ),
        sa.PrimaryKeyConstraint("shop", "number", "revision", name=op.f("pk_quote_revision")),
    )
    with op.batch_alter_table("quote_revision", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_quote_revision_shop_state_valid_until"),
            ["shop", "state", "valid_until"],
            unique=False,
        )

    op.create_table(
        "booking",
        sa.Column("shop", sa.String(length=64), nullable=False),
        sa.Column("quote", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=64), nullable=False),
        sa.Column("state", sa.String(length=16), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("part", sa.Text(), nullable=False),
        sa.Column("process", sa.Text(), nullable=True),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("customer", sa.Text(), nullable=False),
        sa.Column("due", columns.UtcInstant(), nullable=True),
        sa.Column("weight", sa.Integer(), nullable=False),
        sa.Column("release", columns.UtcInstant(), nullable=True),
        sa.Column("starts", sa.Integer(), nullable=True),
        sa.Column("promised_minute", sa.Integer(), nullable=True),
        sa.Column("expected_minute", sa.Integer(), nullable=True),
        sa.Column("begun", sa.Integer(), nullable=False),
        sa.Column("booked_at", columns.UtcInstant(), nullable=False),
        sa.CheckConstraint("state IN ('open', 'cancelled')", name=op.f("ck_booking_state_known")),
        sa.CheckConstraint("begun >= 0", name=op.f("ck_booking_begun_from_0")),
        sa.ForeignKeyConstraint(
            ["shop", "quote", "revision"],
            ["quote_revision.shop", "quote_revision.number", "quote_revision.revision"],
            name=op.f("fk_booking_shop_quote_revision_quote_revision"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("shop", "quote", name=op.f("pk_booking")),
    )
    with op.batch_alter_table("booking", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_booking_shop_number"), ["shop", "number"], unique=True)
        batch_op.create_index(batch_op.f("ix_booking_shop_state"), ["shop", "state"], unique=False)


def downgrade() -> None:
    """Take it back."""
    with op.batch_alter_table("booking", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_booking_shop_state"))
        batch_op.drop_index(batch_op.f("ix_booking_shop_number"))

    op.drop_table("booking")
    with op.batch_alter_table("quote_revision", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_quote_revision_shop_state_valid_until"))

    op.drop_table("quote_revision")
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_run_state_asked_at"))
        batch_op.drop_index(batch_op.f("ix_run_shop_asked_at"))
        batch_op.drop_index(
            "ix_run_one_waiting",
            sqlite_where=sa.text("state = 'waiting'"),
            postgresql_where=sa.text("state = 'waiting'"),
        )
        batch_op.drop_index(
            "ix_run_one_running",
            sqlite_where=sa.text("state = 'running'"),
            postgresql_where=sa.text("state = 'running'"),
        )

    op.drop_table("run")
    op.drop_table("quote")
    op.drop_table("plan")
    op.drop_table("counter")
