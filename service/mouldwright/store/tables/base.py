"""What every table shares: one metadata, and a name for every constraint.

Constraints are named by rule, since SQLite can only alter what has a name.
"""

from __future__ import annotations

from sqlalchemy import MetaData
from sqlalchemy.orm import registry
from sqlmodel import SQLModel

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class Row(SQLModel, registry=registry(metadata=METADATA)):
    """A row. It is storage: it checks nothing, and never leaves this layer."""
