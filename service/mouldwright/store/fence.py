"""A second fence between shops, which PostgreSQL itself keeps: row-level security.

Every transaction says for which shop it is, or that it is for every shop; said is what the options
of its engine say. Where nothing is said, no row is seen and none is written. A statement that asks
for another shop's rows finds none, whoever forgot what in it.

A superuser, and a role that bypasses row-level security, pass the fence; see
https://www.postgresql.org/docs/current/ddl-rowsecurity.html. SQLite knows nothing of the kind.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Engine, event
from sqlmodel import Session

from mouldwright.store.tables import METADATA
from mouldwright.usecases.diagnosis import Fence

# No shop has this key: keys are small letters, digits and hyphens.
EVERY_SHOP = "*"
POLICY = "of_its_shop"
_WHOSE = "mouldwright_whose"
_SAY = "SELECT set_config('mouldwright.shop', %s, true)"
# Once it was set on a connection, the setting is empty and not missing between transactions. The
# entries of the house stand under an empty key, so that empty must not count as a shop. Selected,
# it is looked up once for a statement and not for every row.
_SAID = "(SELECT nullif(current_setting('mouldwright.shop', true), ''))"
_FENCED = (
    "SELECT relname FROM pg_class JOIN pg_namespace ON pg_namespace.oid = relnamespace"
    " WHERE nspname = current_schema() AND relrowsecurity AND relforcerowsecurity"
    " AND (SELECT array_agg(polname::text) FROM pg_policy WHERE polrelid = pg_class.oid)"
    f" = ARRAY['{POLICY}']"
)


def of_shop(engine: Engine, shop: str) -> Engine:
    """Return the engine for transactions that see one shop's rows alone."""
    if engine.dialect.name != "postgresql":
        return engine
    return engine.execution_options(**{_WHOSE: shop})


def of_every_shop(engine: Engine) -> Engine:
    """Return the engine for transactions that see the rows of every shop, and of none."""
    return of_shop(engine, EVERY_SHOP)


def say_whose(engine: Engine) -> None:
    """Let every transaction on an engine to PostgreSQL begin by saying for which shop it is."""

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        whose = connection.get_execution_options().get(_WHOSE)
        if whose is not None:
            connection.exec_driver_sql(_SAY, (whose,))


@contextmanager
def for_every_shop(session: Session) -> Iterator[None]:
    """Let a transaction see the rows of every shop for as long as this is open."""
    connection = session.connection()
    if connection.dialect.name != "postgresql":
        yield
        return
    session.flush()
    connection.exec_driver_sql(_SAY, (EVERY_SHOP,))
    yield
    # Where it failed the transaction is at its end, and what was said with it.
    session.flush()
    connection.exec_driver_sql(_SAY, (connection.get_execution_options().get(_WHOSE, ""),))


def fencing(table: str, column: str = "shop") -> tuple[str, ...]:
    """Return the statements that put a table behind the fence, its owner's own ones too.

    Args:
        table: Its name.
        column: Where the key of its shop stands; a row that has none belongs to the house.
    """
    return (
        f"CREATE POLICY {POLICY} ON {table} USING ({_SAID} IN ({column}, '{EVERY_SHOP}'))",
        f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY",
        f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY",
    )


def unfencing(table: str) -> tuple[str, ...]:
    """Return the statements that take a table out again."""
    return (
        f"ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY",
        f"ALTER TABLE {table} DISABLE ROW LEVEL SECURITY",
        f"DROP POLICY {POLICY} ON {table}",
    )


def fence_of(connection: Connection) -> Fence:
    """Return how the fence stands for who is connected to a PostgreSQL with the newest tables."""
    role, passes = connection.exec_driver_sql(
        "SELECT rolname, rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = current_user"
    ).one()
    fenced = set(connection.exec_driver_sql(_FENCED).scalars())
    open_tables = tuple(sorted(set(METADATA.tables) - fenced))
    return Fence(role=role, is_passed=passes, open_tables=open_tables)
