"""Units of work: opened for one shop, rolled back unless committed.

A read unit sees one moment and cannot write. A write unit is alone with its shop: what it
has read still holds when it writes. Nothing slow belongs inside one. On PostgreSQL the database
itself lets a unit of a shop see that shop alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import copy
from datetime import UTC, datetime
from functools import cached_property
from typing import Self

from sqlalchemy import Engine, select
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session, col

from mouldwright.domain.record.audit_entry import Actor, Changed, Verb
from mouldwright.store.audit import Noted
from mouldwright.store.engine import reading, writing
from mouldwright.store.fence import EVERY_SHOP, of_shop
from mouldwright.store.log_memory import LogMemory
from mouldwright.store.refusals import not_written
from mouldwright.store.repositories.audit import ShopAudit
from mouldwright.store.repositories.bookings import ShopBookings
from mouldwright.store.repositories.declines import ShopDeclines
from mouldwright.store.repositories.feeds import ShopFeeds
from mouldwright.store.repositories.house import WholeHouse
from mouldwright.store.repositories.links import ShopQuoteLinks
from mouldwright.store.repositories.log import ShopLog
from mouldwright.store.repositories.pins import ShopPins
from mouldwright.store.repositories.plans import ShopPlans
from mouldwright.store.repositories.quotes import ShopQuotes
from mouldwright.store.repositories.replies import KeptReplies
from mouldwright.store.repositories.runs import ShopRuns
from mouldwright.store.repositories.shops import ShopVersions
from mouldwright.store.repositories.tokens import ShopTokens
from mouldwright.store.tables import ShopRow
from mouldwright.usecases.audit import HOUSE, THE_SERVICE
from mouldwright.usecases.errors import Unknown

# One writer at a time for what belongs to no one shop; every process takes the same number.
_HOUSE_LOCK = 7_301_118_202


class ReadUnit:
    """A unit of work on one shop. Every repository in it is opened for that shop alone."""

    def __init__(self, session: Session, shop: str, logs: LogMemory) -> None:
        """Open it for one shop, with what is remembered of its log."""
        self.session, self.shop, self._logs = session, shop, logs

    @cached_property
    def shops(self) -> ShopVersions:
        """Return the versions of the shop."""
        return ShopVersions(self.session, self.shop)

    @cached_property
    def tokens(self) -> ShopTokens:
        """Return the tokens of the shop."""
        return ShopTokens(self.session, self.shop)

    @cached_property
    def quotes(self) -> ShopQuotes:
        """Return the quotes of the shop."""
        return ShopQuotes(self.session, self.shop)

    @cached_property
    def links(self) -> ShopQuoteLinks:
        """Return the links to quotes of the shop."""
        return ShopQuoteLinks(self.session, self.shop)

    @cached_property
    def bookings(self) -> ShopBookings:
        """Return the orders of the shop."""
        return ShopBookings(self.session, self.shop)

    @cached_property
    def runs(self) -> ShopRuns:
        """Return the runs of the shop."""
        return ShopRuns(self.session, self.shop)

    @cached_property
    def pins(self) -> ShopPins:
        """Return what is pinned on the shop's board."""
        return ShopPins(self.session, self.shop)

    @cached_property
    def declines(self) -> ShopDeclines:
        """Return what the shop declined of what its log teaches."""
        return ShopDeclines(self.session, self.shop)

    @cached_property
    def log(self) -> ShopLog:
        """Return the log of the shop."""
        return ShopLog(self.session, self.shop, self._logs)

    @cached_property
    def plans(self) -> ShopPlans:
        """Return the plans of the shop."""
        return ShopPlans(self.session, self.shop)

    @cached_property
    def feeds(self) -> ShopFeeds:
        """Return the feeds of the shop."""
        return ShopFeeds(self.session, self.shop)

    @cached_property
    def audit(self) -> ShopAudit:
        """Return who changed what in the shop."""
        return ShopAudit(self.session, self.shop)

    @cached_property
    def replies(self) -> KeptReplies:
        """Return the replies kept."""
        return KeptReplies(self.session, self.shop)


class WriteUnit(ReadUnit):
    """A unit of work on one shop that may change it."""

    def __init__(self, session: Session, shop: str, logs: LogMemory, noted: Noted) -> None:
        """Open it for one shop; what it changes is noted."""
        super().__init__(session, shop, logs)
        self._noted = noted

    def note(self, verb: Verb, thing: str, changes: tuple[Changed, ...]) -> None:
        """Note a change that is more than the rows it changes."""
        self._noted.note(self.shop, verb, thing, "", list(changes))

    def commit(self) -> None:
        """Let what was changed hold, for good, and who changed it with it."""
        self._noted.keep()
        self.session.commit()


class HouseReadUnit:
    """A unit of work on what belongs to no one shop."""

    def __init__(self, session: Session) -> None:
        """Open it."""
        self.session = session

    @cached_property
    def house(self) -> WholeHouse:
        """Return what belongs to no one shop."""
        return WholeHouse(self.session)

    @cached_property
    def tokens(self) -> ShopTokens:
        """Return the tokens of every shop."""
        return ShopTokens(self.session, None)

    @cached_property
    def replies(self) -> KeptReplies:
        """Return the replies kept."""
        return KeptReplies(self.session, None)

    @cached_property
    def audit(self) -> ShopAudit:
        """Return who changed what of that which belongs to no one shop."""
        return ShopAudit(self.session, HOUSE)


class HouseWriteUnit(HouseReadUnit):
    """A unit of work on what belongs to no one shop, that may change it."""

    def __init__(self, session: Session, noted: Noted) -> None:
        """Open it; what it changes is noted."""
        super().__init__(session)
        self._noted = noted

    def commit(self) -> None:
        """Let what was changed hold, for good, and who changed it with it."""
        self._noted.keep()
        self.session.commit()


class StoreUnits:
    """Opens units of work on one database; see ``usecases.ports.Units``."""

    def __init__(
        self,
        engine: Engine,
        *,
        actor: Actor = THE_SERVICE,
        clock: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        """Open it on an engine, for someone whose changes are noted as theirs."""
        self._actor, self._clock = actor, clock
        self._reading, self._writing = reading(engine), writing(engine)
        self._logs = LogMemory()

    def by(self, actor: Actor, clock: Callable[[], datetime]) -> Self:
        """Return the same for someone else."""
        other = copy(self)
        other._actor, other._clock = actor, clock
        return other

    @contextmanager
    def read(self, shop: str) -> Iterator[ReadUnit]:
        """Open a unit that reads. Raises Unknown where there is no such shop."""
        with self._session(self._reading, shop) as session:
            _must_exist(session, shop, alone=False)
            yield ReadUnit(session, shop, self._logs)

    @contextmanager
    def write(self, shop: str) -> Iterator[WriteUnit]:
        """Open a unit that writes, alone with its shop.

        Raises:
            Unknown: if there is no such shop.
            Busy: if others write for too long.
        """
        with self._session(self._writing, shop) as session:
            _must_exist(session, shop, alone=True)
            noted = Noted(session, self._actor, self._clock)
            yield WriteUnit(session, shop, self._logs, noted)

    @contextmanager
    def read_house(self) -> Iterator[HouseReadUnit]:
        """Open a unit that reads what belongs to no one shop."""
        with self._session(self._reading, EVERY_SHOP) as session:
            yield HouseReadUnit(session)

    @contextmanager
    def write_house(self) -> Iterator[HouseWriteUnit]:
        """Open a unit that writes what belongs to no one shop. Raises Busy."""
        with self._session(self._writing, EVERY_SHOP) as session:
            if session.get_bind().dialect.name == "postgresql":
                session.connection().exec_driver_sql(f"SELECT pg_advisory_xact_lock({_HOUSE_LOCK})")
            yield HouseWriteUnit(session, Noted(session, self._actor, self._clock))

    @contextmanager
    def _session(self, engine: Engine, shop: str) -> Iterator[Session]:
        # Values outlive the unit; rows do not, so nothing need be loaded again after commit.
        session = Session(of_shop(engine, shop), expire_on_commit=False)
        try:
            with session:
                yield session
        except DBAPIError as error:
            refused = not_written(error)
            if refused is None:
                raise
            raise refused from error


def _must_exist(session: Session, shop: str, *, alone: bool) -> None:
    """Find the shop; for a unit that writes, take its row so that no other unit can.

    On SQLite the transaction has the whole file already, and the lock adds nothing.
    """
    row = select(col(ShopRow.key)).where(col(ShopRow.key) == shop)
    if session.scalar(row.with_for_update() if alone else row) is None:
        raise Unknown(kind="shop", key=shop)
