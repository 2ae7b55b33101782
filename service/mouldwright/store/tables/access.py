"""Who may come in: tokens and one-time sign-in links, kept as hashes alone."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Text
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row

# A keeper runs the whole installation and has no one shop; everyone else has exactly one.
_ROLES = "role IN ('keeper', 'owner', 'planner', 'bench', 'viewer')"
_ONE_SHOP = "(role = 'keeper') = (shop IS NULL)"


class TokenRow(Row, table=True):
    """A token: the hash of its secret, whose it is, and how long it holds."""

    __tablename__ = "token"
    __table_args__ = (
        CheckConstraint(_ROLES, name="role_known"),
        CheckConstraint(_ONE_SHOP, name="one_shop"),
    )

    id: str = Field(primary_key=True, max_length=64)
    secret_hash: str = Field(max_length=64, unique=True)
    shop: str | None = Field(
        default=None,
        max_length=64,
        index=True,
        sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")],
    )
    role: str = Field(max_length=16)
    label: str = Field(sa_type=Text)
    issued_at: datetime = Field(sa_type=UtcInstant)
    expires_at: datetime = Field(sa_type=UtcInstant)
    revoked_at: datetime | None = Field(default=None, sa_type=UtcInstant)


class SignInRow(Row, table=True):
    """A link that signs in once."""

    __tablename__ = "sign_in"
    __table_args__ = (
        CheckConstraint(_ROLES, name="role_known"),
        CheckConstraint(_ONE_SHOP, name="one_shop"),
    )

    code_hash: str = Field(primary_key=True, max_length=64)
    shop: str | None = Field(
        default=None, max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")]
    )
    role: str = Field(max_length=16)
    expires_at: datetime = Field(sa_type=UtcInstant)
    used_at: datetime | None = Field(default=None, sa_type=UtcInstant)
