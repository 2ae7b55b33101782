"""What the use cases of quotes, orders and plans need from outside, besides shops."""

from __future__ import annotations

from contextlib import AbstractContextManager
from datetime import datetime, timedelta
from typing import Protocol

from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.promise.quote_state import QuoteState
from mouldwright.domain.promise.revision import QuoteRevision, QuoteSummary
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.kept_decline import Declined
from mouldwright.usecases.kept_feed import Feed, ToldEvents
from mouldwright.usecases.kept_link import CustomersAnswer, QuoteLink
from mouldwright.usecases.kept_pin import Pin
from mouldwright.usecases.kept_run import PLAN, Basis, KeptPlan, Page, Run, RunProgress
from mouldwright.usecases.ports import Reading, Units, Writing


class Freeze(Protocol):
    """Writes a quote as it is given out."""

    def __call__(self, shop: Shop, quote: Quote) -> str:
        """Return the quote as a document that is kept to the byte."""
        ...


class Quotes(Protocol):
    """The quotes of the one shop a unit was opened for."""

    def revision(self, number: int, revision: int | None = None) -> QuoteRevision:
        """Return a revision, the newest where none is named. Raises Unknown."""
        ...

    def revisions(self, number: int) -> tuple[QuoteRevision, ...]:
        """Return all revisions of a quote, the first first. Raises Unknown."""
        ...

    def listed(self, page: Page, *, state: QuoteState | None = None) -> tuple[QuoteSummary, ...]:
        """Return quotes by their newest revision, the highest number first."""
        ...

    def next_number(self) -> int:
        """Draw the next number of the sequence; it is given back if the unit is not committed."""
        ...

    def add(self, revision: QuoteRevision) -> None:
        """Keep a new revision and let it be the newest."""
        ...

    def move(self, revision: QuoteRevision, to: QuoteState, at: datetime) -> QuoteRevision:
        """Keep the state a revision comes to; return it so."""
        ...

    def past(self, day: str) -> tuple[QuoteRevision, ...]:
        """Return sent revisions whose last day was before a day (ISO 8601)."""
        ...

    def forget_customer(self, customer: str) -> int:
        """Erase a customer's name, figures kept; return in how many revisions it stood."""
        ...


class QuoteLinks(Protocol):
    """The links to quotes of the one shop a unit was opened for."""

    def add(self, link: QuoteLink, secret_hash: str) -> None:
        """Keep a link."""
        ...

    def by_id(self, quote: int, link: str) -> QuoteLink:
        """Return a link to a quote. Raises Unknown."""
        ...

    def listed(self, quote: int) -> tuple[QuoteLink, ...]:
        """Return all links to a quote, the oldest first."""
        ...

    def revoke(self, quote: int, link: str, at: datetime) -> None:
        """Withdraw a link for good. Raises Unknown."""
        ...

    def note_answer(self, quote: int, link: str, answer: CustomersAnswer, at: datetime) -> None:
        """Note what was answered by a link. Raises Unknown."""
        ...


class Bookings(Protocol):
    """The orders booked in the one shop a unit was opened for."""

    def by_quote(self, quote: int) -> Booking | None:
        """Return the order a quote became, None where it became none."""
        ...

    def by_number(self, number: str) -> Booking:
        """Return an order. Raises Unknown."""
        ...

    def open(self) -> tuple[Booking, ...]:
        """Return all open orders, the first booked first."""
        ...

    def listed(self, page: Page, *, only_open: bool = False) -> tuple[Booking, ...]:
        """Return orders, the first booked first."""
        ...

    def book_version(self) -> int:
        """Return how often orders were booked, changed or called off."""
        ...

    def add(self, booking: Booking) -> None:
        """Keep a new order."""
        ...

    def put(self, booking: Booking, *, read_version: int) -> None:
        """Keep a changed order.

        Raises:
            Stale: if it was changed since that version was read.
        """
        ...

    def expect(self, quote: int, version: int, expected: int) -> None:
        """Note when an order is ready by what is booked now, if it is still of that version."""
        ...

    def forget_customer(self, customer: str) -> int:
        """Erase a customer's name; return in how many orders it stood."""
        ...


class Runs(Protocol):
    """The runs of the one shop a unit was opened for."""

    def ask(self, run: Run) -> Run:
        """Queue a run; return the one that waits already where there is one."""
        ...

    def by_id(self, run: str) -> Run:
        """Return a run. Raises Unknown."""
        ...

    def best(self, run: str) -> Plan | None:
        """Return the best plan of a run so far. Raises Unknown."""
        ...

    def answer(self, run: str) -> str | None:
        """Return what a question at length was answered, as JSON. Raises Unknown."""
        ...

    def listed(
        self, *, limit: int = 20, after: str | None = None, subject: str | None = PLAN
    ) -> tuple[Run, ...]:
        """Return runs of a subject, the newest first; None for those of every one.

        Those after a run where one is named. Raises Unknown.
        """
        ...

    def ask_to_stop(self, run: str, at: datetime) -> Run:
        """Ask a run to stop; one that waits ends at once. Raises Unknown."""
        ...

    def end(self, run: Run, at: datetime) -> bool:
        """Keep how a run ended; False where its worker has lost it meanwhile."""
        ...


class Pins(Protocol):
    """What is pinned on the board of the one shop a unit was opened for."""

    def all(self) -> tuple[Pin, ...]:
        """Return every pin, the first pinned first."""
        ...

    def at(self, pin: str) -> Pin:
        """Return a pin, whether it still binds or was taken out. Raises Unknown."""
        ...

    def add(self, pin: Pin, *, zone: str) -> None:
        """Keep a pin, its times written in a time zone; no plan made before fits any more."""
        ...

    def remove(self, pin: str) -> None:
        """Take a pin out; no plan made before fits any more. Raises Unknown."""
        ...


class Declines(Protocol):
    """What the one shop a unit was opened for declined of what its log teaches."""

    def all(self) -> tuple[Declined, ...]:
        """Return all that is declined, by key."""
        ...

    def put(self, declined: Declined) -> None:
        """Keep one, in place of one of the same key."""
        ...

    def remove(self, key: str) -> None:
        """Take one out. Raises Unknown."""
        ...


class Plans(Protocol):
    """The published plans of the one shop a unit was opened for."""

    def keep(self, plan: Plan, *, basis: Basis, run: str, at: datetime) -> KeptPlan:
        """Keep a plan as the newest. Raises ValueError where it was not checked."""
        ...

    def newest(self) -> KeptPlan:
        """Return the plan that holds. Raises Unknown where there is none."""
        ...

    def at(self, version: int) -> KeptPlan:
        """Return an earlier plan. Raises Unknown."""
        ...


class Feeds(Protocol):
    """The feeds of the one shop a unit was opened for, and what its calendars were told."""

    def add(self, feed: Feed, secret_hash: str) -> None:
        """Keep a feed."""
        ...

    def listed(self) -> tuple[Feed, ...]:
        """Return all of them, the oldest first."""
        ...

    def revoke(self, feed: str, at: datetime) -> None:
        """Withdraw a feed for good. Raises Unknown."""
        ...

    def told(self) -> ToldEvents:
        """Return what the calendars were last told."""
        ...

    def tell(self, told: ToldEvents) -> None:
        """Keep what the calendars are told from now on."""
        ...


class PromiseReading(Reading, Protocol):
    """A unit that reads quotes, orders, runs and plans too."""

    @property
    def quotes(self) -> Quotes:
        """Return the quotes of the shop."""
        ...

    @property
    def links(self) -> QuoteLinks:
        """Return the links to quotes of the shop."""
        ...

    @property
    def bookings(self) -> Bookings:
        """Return the orders of the shop."""
        ...

    @property
    def runs(self) -> Runs:
        """Return the runs of the shop."""
        ...

    @property
    def pins(self) -> Pins:
        """Return what is pinned on the shop's board."""
        ...

    @property
    def declines(self) -> Declines:
        """Return what the shop declined of what its log teaches."""
        ...

    @property
    def plans(self) -> Plans:
        """Return the plans of the shop."""
        ...

    @property
    def feeds(self) -> Feeds:
        """Return the feeds of the shop."""
        ...


class PromiseWriting(PromiseReading, Writing, Protocol):
    """A unit that changes quotes, orders, runs and plans."""


class PromiseUnits(Units, Protocol):
    """Opens such units; see ``ports.Units``."""

    def read(self, shop: str) -> AbstractContextManager[PromiseReading]:
        """Open a unit that reads."""
        ...

    def write(self, shop: str) -> AbstractContextManager[PromiseWriting]:
        """Open a unit that writes."""
        ...


class RunQueue(Protocol):
    """The queue as a worker sees it: the runs of every shop, one at a time for each."""

    def is_due(self, now: datetime) -> bool:
        """Return whether there is a run to take up; asking waits for no one who writes."""
        ...

    def claim(self, worker: str, now: datetime, lease: timedelta) -> Run | None:
        """Take up the run whose turn it is, or one whose worker was lost; None where none is due.

        Shops take turns, so that none waits long because another asks for much.
        The attempt is counted as it is taken. One whose worker was lost too often is set
        aside.
        """
        ...

    def began(self, run: Run, basis: Basis) -> None:
        """Note what the run plans."""
        ...

    def beat(self, run: Run, now: datetime, lease: timedelta) -> bool | None:
        """Keep the run for another while.

        Returns:
            Whether it should stop; None where another worker has it.
        """
        ...

    def report(self, run: Run, progress: RunProgress) -> None:
        """Note where the search stands."""
        ...

    def keep_best(self, run: Run, plan: Plan) -> None:
        """Keep the best plan so far."""
        ...

    def keep_answer(self, run: Run, answer: str) -> None:
        """Keep what a question at length was answered, as JSON."""
        ...

    def give_back(self, run: Run, *, problem: str = "", counted: bool, now: datetime) -> None:
        """Let the run wait again; set it aside where it has failed too often.

        Args:
            run: The run.
            problem: What went wrong, empty where nothing did.
            counted: Whether the attempt counts.
            now: Zone-aware.
        """
        ...

    def set_aside(self, run: Run, *, problem: str, now: datetime) -> None:
        """Let the run be tried no more, with why."""
        ...
