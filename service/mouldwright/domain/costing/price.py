"""From cost to price: margin or mark-up, the smallest order, tax, deposit, price breaks.

``price_each`` is rounded to the currency and everything follows from it: net is
``price_each x quantity`` plus the top-up to the smallest order, tax is on the net, the
deposit is a share of the gross. Where a shop states its prices with their tax, it is the
gross that the prices add up to, and the net is what is left of it without its tax.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.money import Currency
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import PricePolicy

_NIL = Decimal(0)
ON_ORDERING, ON_DELIVERY = "on ordering", "on delivery"


@dataclass(frozen=True, slots=True, kw_only=True)
class Payment:
    """One payment of several.

    Attributes:
        when: In words, as the shop wrote it.
        share: Of the gross.
        gross: What is paid, tax and all.
        tax: The tax in it.
    """

    when: str
    share: Decimal
    gross: Decimal
    tax: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What an order of one part is sold for.

    Attributes:
        cost_each: Exact cost of one good part.
        price_each: Rounded price of one.
        goods: price_each x quantity.
        top_up: To the smallest order, before tax, once per order.
        net: goods + top_up before tax; where prices include their tax, the gross without it.
        tax: On the net.
        gross: net + tax; where prices include their tax, goods + top_up.
        deposit: Asked before work starts: the first payment.
        payments: What falls due when; they add up to the gross, and their tax to the tax.
        payment_fee: What being paid costs the shop; it is within the price.
    """

    quantity: int
    cost_each: Fraction
    price_each: Decimal
    goods: Decimal
    top_up: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    deposit: Decimal
    payments: tuple[Payment, ...] = ()
    payment_fee: Decimal = Decimal(0)

    @property
    def balance(self) -> Decimal:
        """Return what is left to pay after the deposit."""
        return self.gross - self.deposit


@dataclass(frozen=True, slots=True, kw_only=True)
class Inversion:
    """Fewer pieces that cost more in all than a larger number.

    Attributes:
        instead: The larger quantity that costs least in all.
    """

    quantity: int
    net: Decimal
    instead: int
    instead_net: Decimal

    @property
    def text(self) -> str:
        """Return it as a sentence for the person quoting."""
        return (
            f"{self.quantity} pieces come to {self.net} and {self.instead} to "
            f"{self.instead_net}: offer {self.instead}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rise:
    """A quantity whose unit cost is above that of some smaller one.

    Attributes:
        lower_quantity: The nearest smaller quantity at the lowest unit cost below it.
        next_quantity: The first larger quantity at no more than that, None if none was looked at.
    """

    quantity: int
    cost_each: Fraction
    lower_quantity: int
    lower_cost_each: Fraction
    next_quantity: int | None

    def text(self, currency: Currency) -> str:
        """Return it as a sentence for the person quoting."""
        further = f" or at least {self.next_quantity}" if self.next_quantity else ""
        return (
            f"Each of {self.quantity} costs {currency.text(currency.round(self.cost_each))}, each "
            f"of {self.lower_quantity} only "
            f"{currency.text(currency.round(self.lower_cost_each))}: suggest "
            f"{self.lower_quantity}{further}."
        )


def sale_price(policy: PricePolicy, cost: Fraction) -> Fraction:
    """Return the exact price that a cost becomes.

    A mark-up is a share of the cost: 50 at 40 % is 70. A margin is a share of the price:
    50 at 40 % is 83.33. What being paid costs is a share of the price with its tax; it is
    recovered like any other cost, so that margin or mark-up stay what they are called.

    Raises:
        InvalidInput: if the rate is below 0, or margin and fee leave nothing of the price.
    """
    rate = exact(policy.rate)
    if rate < 0 or (policy.rule == "margin" and rate >= 1):
        allowed = "0 up to but not including 1" if policy.rule == "margin" else "0 or more"
        raise InvalidInput(
            [
                Fault(
                    path="shop.price.rate",
                    value=str(policy.rate),
                    problem=f"a {policy.rule} of that size gives no price.",
                    remedy=f'For rule = "{policy.rule}" write {allowed}, such as 0.4 for 40 %.',
                )
            ]
        )
    fee = exact(policy.payment_fee_rate) * (1 + exact(policy.tax_rate))
    over = fee if policy.rule == "margin" else fee * (1 + rate)
    left = (1 - rate - over) if policy.rule == "margin" else (1 - over)
    if left <= 0:
        raise InvalidInput(
            [
                Fault(
                    path="shop.price.payment_fee_rate",
                    value=str(policy.payment_fee_rate),
                    problem=f"with this {policy.rule} it leaves nothing of the price for the cost.",
                    remedy="Write what is taken of a payment as a share, such as 0.015 for 1.5 %.",
                )
            ]
        )
    return cost / left if policy.rule == "margin" else cost * (1 + rate) / left


def stated_price(policy: PricePolicy, cost: Fraction) -> Fraction:
    """Return the exact price that a cost becomes as the shop states it: with tax or before.

    Raises:
        InvalidInput: as ``sale_price`` does.
    """
    return as_stated(policy, sale_price(policy, cost))


def as_stated(policy: PricePolicy, net: Fraction) -> Fraction:
    """Return an exact amount before tax as the shop states it: with tax, or as it is."""
    return net * (1 + exact(policy.tax_rate)) if policy.tax_included else net


def price_of(policy: PricePolicy, currency: Currency, cost_each: Fraction, quantity: int) -> Price:
    """Return the price of an order.

    Args:
        policy: Margin or mark-up, smallest order, tax and deposit.
        currency: Its rounding.
        cost_each: Exact cost of one good part at this quantity.
        quantity: Good parts sold.

    Raises:
        InvalidInput: if the quantity or the rate cannot be right.
    """
    if quantity < 1:
        raise InvalidInput(
            [
                Fault(
                    path="quantity",
                    value=str(quantity),
                    problem="it must be a whole number of at least 1.",
                    remedy="Give quantity as 1, 2, 3 and so on.",
                )
            ]
        )
    price_each = currency.round(stated_price(policy, cost_each))
    return price_from(policy, currency, price_each, quantity, cost_each=cost_each)


def price_from(
    policy: PricePolicy,
    currency: Currency,
    price_each: Decimal,
    quantity: int,
    *,
    cost_each: Fraction = Fraction(0),
) -> Price:
    """Return what follows from a price already set for one piece."""
    goods = currency.round(price_each * quantity)
    top_up = max(currency.round(policy.least_order) - goods, currency.round(Decimal(0)))
    return totalled(
        policy,
        currency,
        Price(
            quantity=quantity,
            cost_each=cost_each,
            price_each=price_each,
            goods=goods,
            top_up=top_up,
            net=goods + top_up,
            tax=Decimal(0),
            gross=Decimal(0),
            deposit=Decimal(0),
        ),
        [goods, *([top_up] if top_up else [])],
    )


def totalled(
    policy: PricePolicy, currency: Currency, price: Price, lines: Sequence[Decimal]
) -> Price:
    """Return a price with the net, tax, gross and payments that its lines come to.

    Tax is rounded once on the net, or on each line and added up, as the shop chose. Lines
    are before tax and add up to the net; where prices include it they add up to the gross.
    """
    stated = sum(lines, currency.round(_NIL))
    taxed = [stated] if policy.tax_on == "total" else lines
    rate = exact(policy.tax_rate)
    of_stated = rate / (1 + rate) if policy.tax_included else rate
    tax = sum((currency.round(exact(amount) * of_stated) for amount in taxed), currency.round(_NIL))
    net, gross = (stated - tax, stated) if policy.tax_included else (stated, stated + tax)
    payments = payments_of(policy, currency, gross=gross, tax=tax)
    return replace(
        price,
        net=net,
        tax=tax,
        gross=gross,
        deposit=payments[0].gross if len(payments) > 1 else currency.round(_NIL),
        payments=payments,
        payment_fee=currency.round(gross * policy.payment_fee_rate),
    )


def payments_of(
    policy: PricePolicy, currency: Currency, *, gross: Decimal, tax: Decimal
) -> tuple[Payment, ...]:
    """Return what falls due when: the shop's instalments, else a deposit and the rest.

    Cents that no share takes go to the largest remainders, so that payments add up to the
    gross and their tax to the tax. A deposit by rate is rounded by itself, the rest follows.
    """
    if policy.instalments:
        shares = [each.share for each in policy.instalments]
        parts = zip(
            policy.instalments, currency.share(gross, shares), currency.share(tax, shares),
            strict=True,
        )  # fmt: skip
        return tuple(
            Payment(when=each.when, share=each.share, gross=paid, tax=taxed)
            for each, paid, taxed in parts
        )
    first = currency.round(gross * policy.deposit_rate)
    if not first:
        return (Payment(when=ON_DELIVERY, share=Decimal(1), gross=gross, tax=tax),)
    taxed = currency.round(tax * policy.deposit_rate)
    rest = Payment(
        when=ON_DELIVERY, share=1 - policy.deposit_rate, gross=gross - first, tax=tax - taxed
    )
    return (
        Payment(when=ON_ORDERING, share=policy.deposit_rate, gross=first, tax=taxed),
        *((rest,) if rest.gross else ()),
    )


def price_ladder(
    policy: PricePolicy,
    currency: Currency,
    costs: Mapping[int, Fraction | None],
    quantities: Iterable[int] | None = None,
) -> tuple[Price, ...]:
    """Return the price at each quantity, the policy's breaks unless others are given.

    Quantities whose cost is not among ``costs`` or unknown are left out.

    Raises:
        InvalidInput: if the rate cannot be right.
    """
    asked = policy.breaks if quantities is None else quantities
    return tuple(
        price_of(policy, currency, cost, quantity)
        for quantity in asked
        if (cost := costs.get(quantity)) is not None
    )


def tiered(tiers: Sequence[tuple[int, Decimal]], quantity: int) -> Decimal:
    """Return the price of one piece from a list of (from quantity, price each).

    Raises:
        ValueError: if the list starts above the quantity.
    """
    held = [price for start, price in sorted(tiers) if start <= quantity]
    if not held:
        raise ValueError("the price list starts at a larger quantity")
    return held[-1]


def inversions(nets: Mapping[int, Decimal]) -> tuple[Inversion, ...]:
    """Return every quantity that costs more in all than some larger quantity.

    Of the larger ones the cheapest is offered, the largest of equals.
    """
    found: list[Inversion] = []
    best: tuple[Decimal, int] | None = None
    for quantity in sorted(nets, reverse=True):
        net = nets[quantity]
        if best is not None and net > best[0]:
            found.append(
                Inversion(quantity=quantity, net=net, instead=best[1], instead_net=best[0])
            )
        elif best is None or net < best[0]:
            best = (net, quantity)
    return tuple(reversed(found))


def rise_at(costs: Mapping[int, Fraction | None], quantity: int) -> Rise | None:
    """Return whether a smaller quantity has a lower unit cost, and what to suggest instead.

    A new mould, mix or plate lifts the unit cost at its first piece: 31 pieces from moulds
    of 30 pulls cost more each than 30, and no less again before 60.

    Args:
        costs: Unit cost by quantity, as far as is to be looked.
        quantity: The one asked for.
    """
    here = costs.get(quantity)
    known = {q: cost for q, cost in costs.items() if cost is not None}
    below = {q: cost for q, cost in known.items() if q < quantity}
    if here is None or not below or min(below.values()) >= here:
        return None
    least = min(below.values())
    lower = max(q for q, cost in below.items() if cost == least)
    further = [q for q, cost in known.items() if q > quantity and cost <= least]
    return Rise(
        quantity=quantity,
        cost_each=here,
        lower_quantity=lower,
        lower_cost_each=least,
        next_quantity=min(further, default=None),
    )
