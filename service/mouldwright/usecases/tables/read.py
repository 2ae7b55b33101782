"""Reading what tables are made of: of a shop that is kept, or of one that is only written."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from mouldwright.domain.compare import Comparison
from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases import buying, enquiry, questions
from mouldwright.usecases.booked_shop import with_orders
from mouldwright.usecases.buying import ToBuy
from mouldwright.usecases.enquiry import Finish
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import Page
from mouldwright.usecases.services import Services
from mouldwright.usecases.tables.every import TableAsk, TableSource, kind_of, table_of
from mouldwright.usecases.tables.sheet import SheetTable

# The newest of each; what is older is looked up by its number.
MOST_ROWS = 50_000


def kept_table(services: Services, shop: str, name: str, ask: TableAsk) -> SheetTable:
    """Return a table of a shop that is kept.

    Raises:
        Unknown: if there is no such shop or table.
        InvalidInput: if what is asked of it cannot be right.
    """
    kind_of(name)
    before: Plan | None = None
    now = services.clock()
    with services.units.read(shop) as unit:
        version, log = unit.shops.now(), unit.log.all()
        page = Page(limit=MOST_ROWS)
        quotes, bookings = unit.quotes.listed(page), unit.bookings.listed(page)
        try:
            newest = unit.plans.newest()
            plan: Plan | None = newest.plan
        except Unknown:
            plan = None
        else:
            if newest.version > 1:
                before = unit.plans.at(newest.version - 1).plan
    written = replace(services.written.read(version.document), log=log)
    booked = with_orders(written, (b.order for b in bookings if b.state == "open"))

    def compared(part: str, quantity: int) -> Comparison:
        found = questions.compare(services, shop, part, quantity, by=None, by_rate=False)
        return found.comparison

    source = TableSource(
        shop=booked,
        plan=plan,
        quotes=quotes,
        bookings=bookings,
        now=now,
        buying=lambda: questions.to_buy(services, shop, by=None, beside=None),
        compared=compared,
        before=before,
    )
    return table_of(name, source, ask)


def written_table(
    shop: Shop, plan: Plan | None, name: str, ask: TableAsk, *, now: int, finish: Finish
) -> SheetTable:
    """Return a table of a shop that is only written; it has no quotes.

    Args:
        shop: With its orders and its log.
        plan: Made from it; None where none was.
        name: Of the table.
        ask: What of it.
        now: Minutes since the epoch.
        finish: Says when an order is ready, for the comparison.

    Raises:
        Unknown: if there is no such table.
        InvalidInput: if what is asked of it cannot be right.
    """
    at: datetime = local(now, shop.zone)

    def bought() -> ToBuy:
        return buying.to_buy(shop, now=now)

    source = TableSource(
        shop=shop,
        plan=plan,
        quotes=(),
        bookings=(),
        now=at,
        buying=bought,
        compared=lambda part, quantity: enquiry.compare(
            shop, part, quantity, now=now, finish=finish
        ),
    )
    return table_of(name, source, ask)
