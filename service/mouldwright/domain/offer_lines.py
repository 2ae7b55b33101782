"""The customer's lines of a quote: goods, discounts, haste, deliveries, top-up; they add up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.price import Price, stated_price, totalled
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import PricePolicy, Shop
from mouldwright.domain.terms import Terms


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteLine:
    """One priced line; quantity x rate is the amount, and the amounts add up.

    Attributes:
        delivery: The delivery it is of, from 1; None for the whole order.
    """

    kind: str
    text: str
    quantity: Decimal
    unit: str
    rate: Decimal
    amount: Decimal
    delivery: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SentLot:
    """What goes in one delivery.

    Attributes:
        surcharge: Share of its price that haste costs; 0 for the ordinary pace.
    """

    quantity: int
    surcharge: Decimal = Decimal(0)


def surcharge_of(policy: PricePolicy, days_sooner: int) -> Decimal:
    """Return the share that haste of so many calendar days costs; 0 before the first tier."""
    held = [tier for tier in policy.rush if tier.days_sooner <= days_sooner]
    return max(held, key=lambda tier: tier.days_sooner).surcharge if held else Decimal(0)


def goods_lines(
    title: str, price: Price, lots: Sequence[SentLot], *, pack: int | None = None
) -> list[QuoteLine]:
    """Return a line of goods for each delivery, all at one price.

    Args:
        title: What is sold.
        price: Of one piece.
        lots: What goes in each delivery, at least one.
        pack: Pieces of a pack of spares; None for goods sold singly.
    """
    split = len(lots) > 1
    return [
        QuoteLine(
            kind="parts" if pack is None else "spares",
            text=title,
            quantity=Decimal(lot.quantity // (pack or 1)),
            unit="piece" if pack is None else f"pack of {pack}",
            rate=price.price_each * (pack or 1),
            amount=price.price_each * lot.quantity,
            delivery=number if split else None,
        )
        for number, lot in enumerate(lots, start=1)
    ]


def offered(
    shop: Shop,
    price: Price,
    goods: Sequence[QuoteLine],
    terms: Terms,
    lots: Sequence[SentLot],
    *,
    shared: Fraction = Fraction(0),
) -> tuple[tuple[QuoteLine, ...], Price]:
    """Return every line of an offer and the price they come to.

    A discount by share is taken off the goods, one by amount besides; haste costs a share of
    the goods that are hurried, before any discount; each further delivery costs its freight.
    What sharing set-up with booked orders saves is taken off at what it would have been sold for,
    where the shop gives it. An order that comes to less than the smallest one is topped up after
    all of that.

    Raises:
        InvalidInput: if the discounts take off more than the goods come to.
    """
    policy, money = shop.price, shop.currency
    lines = [*goods, *_discounts(shop, price, terms)]
    lines += _haste(shop, price, lots)
    lines += _further_deliveries(shop, lots)
    lines += _shared(shop, shared, sum((line.amount for line in lines), Decimal(0)))
    stated = sum((line.amount for line in lines), Decimal(0))
    top_up = max(money.round(policy.least_order) - stated, money.round(Decimal(0)))
    if top_up:
        lines.append(_once("top-up", "To the smallest order we take", top_up))
    whole = totalled(policy, money, replace(price, top_up=top_up), [x.amount for x in lines])
    return tuple(lines), whole


def _discounts(shop: Shop, price: Price, terms: Terms) -> list[QuoteLine]:
    money = shop.currency
    share = terms.discount(shop.price)
    by_share = money.round(exact(price.goods) * exact(share))
    amount = money.round(terms.discount_amount)
    if by_share + amount > price.goods:
        raise InvalidInput(
            [
                Fault(
                    path="terms.discount_amount",
                    value=f"{terms.discount_amount:f}",
                    problem="the discounts take off more than the goods come to.",
                    remedy=f"Take off at most {money.text(price.goods - by_share)} besides.",
                )
            ]
        )
    lines = []
    if by_share:
        who = f" for {terms.customer_class}" if terms.is_by_class else ""
        text = f"Discount{who}, {_percent(share)} of the goods"
        lines.append(_once("discount", text, -by_share))
    if amount:
        lines.append(_once("discount-amount", "Discount", -amount))
    return lines


def _haste(shop: Shop, price: Price, lots: Sequence[SentLot]) -> list[QuoteLine]:
    lines = []
    for number, lot in enumerate(lots, start=1):
        goods = exact(price.price_each) * lot.quantity
        extra = shop.currency.round(goods * exact(lot.surcharge))
        if extra:
            line = _once("rush", f"Rush, {_percent(lot.surcharge)} of what is hurried", extra)
            lines.append(replace(line, delivery=number if len(lots) > 1 else None))
    return lines


def _shared(shop: Shop, saved: Fraction, most: Decimal) -> list[QuoteLine]:
    if shop.price.shared_set_up == "kept":
        return []
    off = min(shop.currency.round(stated_price(shop.price, saved)), most)
    return [_once("shared", "Set-up shared with work that is booked", -off)] if off > 0 else []


def _further_deliveries(shop: Shop, lots: Sequence[SentLot]) -> list[QuoteLine]:
    """Return the freight of every delivery but the first, whose own is in the price of one."""
    each = delivery_price(shop)
    return [
        replace(_once("delivery", "Freight of a further delivery", each), delivery=number)
        for number in range(2, len(lots) + 1)
        if each
    ]


def delivery_price(shop: Shop) -> Decimal:
    """Return what one further delivery costs the customer: its freight, priced as all cost is."""
    return shop.currency.round(stated_price(shop.price, exact(shop.outbound.per_order)))


def further_cost(shop: Shop, lots: Sequence[SentLot]) -> Fraction:
    """Return what all deliveries but the first cost the shop."""
    return exact(shop.outbound.per_order) * (len(lots) - 1)


def _once(kind: str, text: str, amount: Decimal) -> QuoteLine:
    return QuoteLine(
        kind=kind, text=text, quantity=Decimal(1), unit="order", rate=amount, amount=amount
    )


def _percent(share: Decimal) -> str:
    return f"{(share * 100).normalize():f} %"
