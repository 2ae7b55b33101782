"""Who changed what."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Index, Text
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row


class AuditRow(Row, table=True):
    """One change; only ever added. It points at no shop, so that it outlives what it tells of."""

    __tablename__ = "audit_entry"
    __table_args__ = (Index(None, "shop", "thing", "number"),)

    shop: str = Field(primary_key=True, max_length=64)
    number: int = Field(primary_key=True)
    at: datetime = Field(sa_type=UtcInstant)
    token: str = Field(max_length=100)
    label: str = Field(sa_type=Text)
    role: str = Field(max_length=16)
    request: str = Field(max_length=64)
    verb: str = Field(max_length=16)
    thing: str = Field(max_length=64)
    key: str = Field(sa_type=Text)
    changes: str = Field(sa_type=Text)
    left_out: int
