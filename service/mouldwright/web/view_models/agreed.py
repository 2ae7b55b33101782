"""What is agreed on a quote beside part and quantity: as it is read, and as it is typed anew."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from mouldwright.domain.shop import Shop
from mouldwright.domain.terms import USUAL, Terms
from mouldwright.usecases.terms_asked import delivery_text
from mouldwright.web.words import amount, count, day, money, odds, percent
from mouldwright.wire.answers.offer import DeliveryAnswer
from mouldwright.wire.answers.quote import QuoteAnswer


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryRow:
    """A delivery in the table of them."""

    number: int
    pieces: str
    ready: str
    kept: str
    wanted: str
    is_late: bool
    haste: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """The fields of a form.

    Attributes:
        classes: Class of customer and what it gets off, to choose from.
        discount: Share in per cent; empty for that of the class.
        deliveries: One a line.
        may_hurry: Whether the shop states what haste costs.
        pack: Pieces of a pack of spares; 0 where the part is not sold so.
    """

    classes: tuple[tuple[str, str], ...]
    chosen: str
    discount: str
    discount_amount: str
    deliveries: str
    rush: bool
    may_hurry: bool
    spares: bool
    pack: int

    @property
    def is_any(self) -> bool:
        """Return whether anything is agreed."""
        said = (self.chosen, self.discount, self.discount_amount, self.deliveries)
        return any(said) or self.rush or self.spares


def agreed_of(shop: Shop, key: str, terms: Terms, zone: str) -> Agreed:
    """Return the form's fields as they stand."""
    rate = terms.discount_rate
    return Agreed(
        classes=tuple(
            (each.who, f"{each.who}, {percent(each.of_goods)} off") for each in shop.price.discounts
        ),
        chosen=terms.customer_class,
        discount="" if rate is None else f"{(rate * 100).normalize():f}",
        discount_amount=amount(shop.currency, terms.discount_amount)
        if terms.discount_amount
        else "",
        deliveries="\n".join(delivery_text(each, zone) for each in terms.deliveries),
        rush=terms.rush,
        may_hurry=bool(shop.price.rush),
        spares=terms.spares,
        pack=(shop.parts[key].spare_pack or 0) if key in shop.parts else 0,
    )


def agreed_as_typed(shop: Shop, key: str, typed: Mapping[str, str]) -> Agreed:
    """Return the form's fields as an enquiry has them, right or wrong."""
    return replace(
        agreed_of(shop, key, USUAL, shop.zone),
        chosen=typed["customer_class"],
        discount=typed["discount"],
        discount_amount=typed["discount_amount"],
        deliveries=typed["deliveries"],
        rush=bool(typed["rush"]),
        spares=bool(typed["spares"]),
    )


def delivery_rows(answer: QuoteAnswer) -> tuple[DeliveryRow, ...]:
    """Return the deliveries of a quote; none where it is sent at once at the ordinary pace."""
    return tuple(
        DeliveryRow(
            number=each.number,
            pieces=f"{each.quantity:,}",
            ready=_day(each.finish) or "no day is promised",
            kept="" if each.finish_odds is None else odds(each.finish_odds),
            wanted=_day(each.due),
            is_late=each.late,
            haste=_haste(each),
        )
        for each in answer.deliveries
    )


def rush_words(answer: QuoteAnswer) -> str:
    """Return what hurrying fewer pieces would cost; empty where nothing is to choose."""
    found = answer.rush_option
    if found is None:
        return ""
    return (
        f"Rush only the smallest lot that is needed: without haste {found.ready} of "
        f"{found.quantity} are ready by {_day(found.by)}; each one hurried costs "
        f"{money(answer.currency, found.each)} more, all {money(answer.currency, found.surcharge)}."
    )


def _haste(each: DeliveryAnswer) -> str:
    if not each.rush:
        return ""
    if not each.surcharge:
        gained = count(each.days_sooner, "day") if each.days_sooner else "no day"
        return f"rush, {gained} sooner, charged nothing"
    return f"rush, {count(each.days_sooner, 'day')} sooner, {percent(each.surcharge)}"


def _day(iso: str | None) -> str:
    return "" if iso is None else day(datetime.fromisoformat(iso))


def spare_words(answer: QuoteAnswer) -> tuple[str, ...]:
    """Return what a pack of each spare costs by itself, a sentence each."""
    code = answer.currency
    return tuple(
        f"{each.title}: a pack of {each.pack} at {money(code, each.price_each)} each, "
        f"{money(code, each.goods)}."
        for each in answer.spares
    )
