"""A quote as it was given out: frozen, with every input that made it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from mouldwright.domain.hours.opening import local
from mouldwright.domain.hours.spoken import spoken_day, spoken_moment
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order
from mouldwright.domain.promise.quote_state import QuoteState
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import Shop
from mouldwright.domain.terms import USUAL, Terms

_LONGEST_CLOSED_DAYS = 370


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteInputs:
    """All that a quote was worked out from; the same again gives the same cents.

    Attributes:
        shop_version: Version of the shop, its prices, hours and moulds.
        part: Key of the part or set.
        process: Key of the process; None for a set.
        now: Minutes since the epoch.
        booked: Orders that were booked then besides those written in the shop, without
            their customers.
        given_up: Parts begun that the customer no longer wants and pays at cost.
        terms: What was agreed beside part and quantity.
        log_last: Number of the last entry the log had then; 0 for none.
        plan_version: Version of the plan that held then; None where none did.
        pins: Ids of what was pinned in it.
    """

    shop_version: int
    part: str
    process: str | None
    quantity: int
    now: int
    booked: tuple[Order, ...] = ()
    given_up: int = 0
    terms: Terms = USUAL
    log_last: int = 0
    plan_version: int | None = None
    pins: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteFigures:
    """The figures of a quote that are looked up, compared and booked.

    Attributes:
        unit_cost: Cost of one good part, rounded to the currency.
        finish: Minute it is ready to ship; None where no date was promised.
        finish_odds: Chance that it is ready by then; by the rate alone, that the starts
            give enough good parts.
        day_ends: Minute the opening of the promised day ends; None where no date was
            promised, or the quote is from before that was kept.
    """

    currency: str
    zone: str
    unit_cost: Decimal
    price_each: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    deposit: Decimal
    finish: int | None
    finish_odds: Decimal | None
    valid_until: date
    day_ends: int | None = None

    @classmethod
    def of(cls, shop: Shop, quote: Quote) -> QuoteFigures:
        """Return the figures of a quote made in a shop; its cost is known."""
        money, price = shop.currency, quote.price
        return cls(
            currency=money.code,
            zone=shop.zone,
            unit_cost=money.round(price.cost_each),
            price_each=price.price_each,
            net=price.net,
            tax=price.tax,
            gross=price.gross,
            deposit=price.deposit,
            finish=quote.finish,
            finish_odds=quote.finish_odds,
            valid_until=quote.valid_until,
            day_ends=None if quote.finish is None else day_promised_ends(shop, quote.finish),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteRevision:
    """One revision of a quote. Only its state and its customer's name ever change.

    Attributes:
        number: In the shop's sequence, from 1, without gap or repeat.
        revision: From 1; the highest is the one that counts.
        customer: Who asked; empty where that was erased or never said.
        due: When the customer wants it; None for as promised.
        made_at: When it was made, zone-aware.
        moved_at: When it came to its state.
        document: The quote as it was given out, kept to the byte.
        address: Lines of the customer's address; erased with the customer.
    """

    number: int
    revision: int
    state: QuoteState
    inputs: QuoteInputs
    figures: QuoteFigures
    made_at: datetime
    moved_at: datetime
    document: str
    customer: str = ""
    due: datetime | None = None
    address: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Return the quote and revision as people say them."""
        return f"quote {self.number} revision {self.revision}"


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteSummary:
    """A quote in a list: its newest revision, without the document."""

    number: int
    revision: int
    state: QuoteState
    part: str
    process: str | None
    quantity: int
    customer: str
    currency: str
    zone: str
    net: Decimal
    gross: Decimal
    finish: int | None
    valid_until: date


def day_promised_ends(shop: Shop, finish: int) -> int:
    """Return the first minute from a finish on at which a day's opening ends.

    A finish after hours is ready at once and sent on the next day that is open.
    """
    day = local(finish, shop.zone).date()
    for ahead in range(_LONGEST_CLOSED_DAYS):
        closing = shop.hours.closing(day + timedelta(days=ahead))
        if closing is not None and closing >= finish:
            return closing
    return finish


def differences(
    before: QuoteRevision, after: QuoteRevision, titles: Mapping[str, str] | None = None
) -> tuple[str, ...]:
    """Return what differs between two revisions, in words, what the customer asked for first.

    Args:
        before: The earlier one.
        after: The later one.
        titles: What parts, sets and processes are called, by key; a key without is said itself.
    """
    old, new = before.figures, after.figures

    def named(key: str | None) -> str:
        return (titles or {}).get(key, key) if key else "its own"

    def money(amount: Decimal) -> str:
        return f"{new.currency} {Currency(new.currency).text(amount)}"

    pairs: list[tuple[str, object, object]] = [
        ("What is made", named(before.inputs.part), named(after.inputs.part)),
        ("Process", named(before.inputs.process), named(after.inputs.process)),
        ("Quantity", before.inputs.quantity, after.inputs.quantity),
        ("Wanted by", _when(before.due, old.zone), _when(after.due, new.zone)),
        ("Agreed", _agreed(before), _agreed(after)),
        ("Begun and given up", before.inputs.given_up, after.inputs.given_up),
        ("Price each", money(old.price_each), money(new.price_each)),
        ("Net", money(old.net), money(new.net)),
        ("Tax", money(old.tax), money(new.tax)),
        ("To pay", money(old.gross), money(new.gross)),
        ("Deposit", money(old.deposit), money(new.deposit)),
        ("Cost of one", money(old.unit_cost), money(new.unit_cost)),
        ("Ready to ship", _ready(old), _ready(new)),
        ("Stands until", spoken_day(old.valid_until), spoken_day(new.valid_until)),
        ("Version of the shop", before.inputs.shop_version, after.inputs.shop_version),
    ]
    if old.currency != new.currency:
        return (f"Currency: was {old.currency}, is {new.currency}; amounts do not compare.",)
    return tuple(f"{what}: was {was}, is {now}." for what, was, now in pairs if was != now)


def _agreed(revision: QuoteRevision) -> str:
    return revision.inputs.terms.words(revision.figures.zone) or "nothing more"


def _ready(figures: QuoteFigures) -> str:
    if figures.finish is None:
        return "no date"
    return _when(local(figures.finish, figures.zone), figures.zone)


def _when(instant: datetime | None, zone: str) -> str:
    if instant is None:
        return "no date"
    at = local(int(instant.timestamp() // 60), zone)
    return spoken_moment(at)
