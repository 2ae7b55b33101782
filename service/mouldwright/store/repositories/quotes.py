"""The quotes of one shop, every revision frozen."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime

from sqlalchemy import select, update
from sqlmodel import Session, col

from mouldwright.domain.order import Order
from mouldwright.domain.promise.quote_state import QuoteState
from mouldwright.domain.promise.revision import (
    QuoteFigures,
    QuoteInputs,
    QuoteRevision,
    QuoteSummary,
)
from mouldwright.domain.terms import USUAL
from mouldwright.store.audit import untold
from mouldwright.store.repositories.counters import Counters
from mouldwright.store.tables import QuoteRevisionRow, QuoteRow
from mouldwright.store.touched import rows_touched
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import Page
from mouldwright.wire.order import Order as WrittenOrder
from mouldwright.wire.service.terms import TermsAsk

_IN_LIST = (
    *("number", "revision", "state", "part", "process", "quantity", "customer"),
    *("currency", "zone", "net", "gross", "valid_until"),
)


class ShopQuotes:
    """See ``usecases.promise_ports.Quotes``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop

    def revision(self, number: int, revision: int | None = None) -> QuoteRevision:
        """Return a revision, the newest where none is named. Raises Unknown."""
        wanted = revision
        if wanted is None:
            newest = self._session.get(QuoteRow, (self._shop, number))
            wanted = newest.revision if newest else None
        row = wanted and self._session.get(QuoteRevisionRow, (self._shop, number, wanted))
        if not row:
            named = f"{number}" if revision is None else f"{number} revision {revision}"
            raise Unknown(kind="quote", key=named)
        return revision_of(row)

    def revisions(self, number: int) -> tuple[QuoteRevision, ...]:
        """Return all revisions of a quote, the first first. Raises Unknown."""
        rows = self._session.scalars(
            select(QuoteRevisionRow)
            .where(col(QuoteRevisionRow.shop) == self._shop, col(QuoteRevisionRow.number) == number)
            .order_by(col(QuoteRevisionRow.revision))
        ).all()
        if not rows:
            raise Unknown(kind="quote", key=str(number))
        return tuple(revision_of(row) for row in rows)

    def listed(self, page: Page, *, state: QuoteState | None = None) -> tuple[QuoteSummary, ...]:
        """Return quotes by their newest revision, the highest number first."""
        columns = [col(getattr(QuoteRevisionRow, name)) for name in _IN_LIST]
        wanted = (
            select(*columns, col(QuoteRevisionRow.finish_minute).label("finish"))
            .join(
                QuoteRow,
                (col(QuoteRow.shop) == col(QuoteRevisionRow.shop))
                & (col(QuoteRow.number) == col(QuoteRevisionRow.number))
                & (col(QuoteRow.revision) == col(QuoteRevisionRow.revision)),
            )
            .where(col(QuoteRow.shop) == self._shop)
            .order_by(col(QuoteRow.number).desc())
            .limit(page.limit)
        )
        if page.after is not None:
            wanted = wanted.where(col(QuoteRow.number) < page.after)
        if state is not None:
            wanted = wanted.where(col(QuoteRevisionRow.state) == state)
        return tuple(QuoteSummary(**row) for row in self._session.execute(wanted).mappings())

    def next_number(self) -> int:
        """Draw the next number of the sequence; given back if the unit is not committed."""
        return Counters(self._session, self._shop).draw("quote")

    def add(self, revision: QuoteRevision) -> None:
        """Keep a new revision and let it be the newest."""
        row = self._session.get(QuoteRow, (self._shop, revision.number))
        if row is None:
            self._session.add(
                QuoteRow(shop=self._shop, number=revision.number, revision=revision.revision)
            )
        else:
            row.revision = revision.revision
        self._session.flush()
        self._session.add(row_of(self._shop, revision))
        self._session.flush()

    def move(self, revision: QuoteRevision, to: QuoteState, at: datetime) -> QuoteRevision:
        """Keep the state a revision comes to; return it so."""
        row = self._session.get(QuoteRevisionRow, (self._shop, revision.number, revision.revision))
        if row is None:
            raise Unknown(kind="quote", key=str(revision.number))
        row.state, row.moved_at = to, at
        self._session.flush()
        return replace(revision, state=to, moved_at=at)

    def past(self, day: str) -> tuple[QuoteRevision, ...]:
        """Return sent revisions whose last day was before a day (ISO 8601)."""
        rows = self._session.scalars(
            select(QuoteRevisionRow).where(
                col(QuoteRevisionRow.shop) == self._shop,
                col(QuoteRevisionRow.state) == "sent",
                col(QuoteRevisionRow.valid_until) < date.fromisoformat(day),
            )
        )
        return tuple(revision_of(row) for row in rows)

    def forget_customer(self, customer: str) -> int:
        """Erase a customer's name, figures kept; return in how many revisions it stood."""
        erased = self._session.execute(
            update(QuoteRevisionRow)
            .where(
                col(QuoteRevisionRow.shop) == self._shop,
                col(QuoteRevisionRow.customer) == customer,
            )
            .values(customer="", address="")
            .execution_options(**untold("the use case tells"))
        )
        return rows_touched(erased)


def revision_of(row: QuoteRevisionRow) -> QuoteRevision:
    """Return the value of a row."""
    return QuoteRevision(
        number=row.number,
        revision=row.revision,
        state=row.state,  # type: ignore[arg-type]  # the table's check holds it
        inputs=QuoteInputs(
            shop_version=row.shop_version,
            part=row.part,
            process=row.process,
            quantity=row.quantity,
            now=row.now_minute,
            booked=tuple(_order(text) for text in json.loads(row.booked)),
            given_up=row.given_up,
            terms=TermsAsk.model_validate_json(row.terms).terms() if row.terms else USUAL,
            log_last=row.log_last,
            plan_version=row.plan_version,
            pins=tuple(row.pins.split()),
        ),
        figures=QuoteFigures(
            currency=row.currency,
            zone=row.zone,
            unit_cost=row.unit_cost,
            price_each=row.price_each,
            net=row.net,
            tax=row.tax,
            gross=row.gross,
            deposit=row.deposit,
            finish=row.finish_minute,
            finish_odds=row.finish_odds,
            valid_until=row.valid_until,
            day_ends=row.day_ends_minute,
        ),
        made_at=row.made_at,
        moved_at=row.moved_at,
        document=row.document,
        customer=row.customer,
        due=row.due,
        address=tuple(row.address.splitlines()),
    )


def row_of(shop: str, revision: QuoteRevision) -> QuoteRevisionRow:
    """Return the row of a value."""
    inputs, figures = revision.inputs, revision.figures
    return QuoteRevisionRow(
        shop=shop,
        number=revision.number,
        revision=revision.revision,
        state=revision.state,
        shop_version=inputs.shop_version,
        part=inputs.part,
        process=inputs.process,
        quantity=inputs.quantity,
        now_minute=inputs.now,
        given_up=inputs.given_up,
        booked=json.dumps([WrittenOrder.of(o).model_dump_json() for o in inputs.booked]),
        currency=figures.currency,
        zone=figures.zone,
        unit_cost=figures.unit_cost,
        price_each=figures.price_each,
        net=figures.net,
        tax=figures.tax,
        gross=figures.gross,
        deposit=figures.deposit,
        finish_minute=figures.finish,
        finish_odds=figures.finish_odds,
        valid_until=figures.valid_until,
        made_at=revision.made_at,
        moved_at=revision.moved_at,
        customer=revision.customer,
        due=revision.due,
        document=revision.document,
        terms="" if inputs.terms.are_usual else TermsAsk.of(inputs.terms).model_dump_json(),
        address="\n".join(revision.address),
        day_ends_minute=figures.day_ends,
        log_last=inputs.log_last,
        plan_version=inputs.plan_version,
        pins=" ".join(inputs.pins),
    )


def _order(text: str) -> Order:
    """Return an order as it was frozen: all its times are instants."""

    def instant(_: str, value: object) -> datetime | None:
        return value if isinstance(value, datetime) else None

    return WrittenOrder.model_validate_json(text).order(instant, only_process=None)
