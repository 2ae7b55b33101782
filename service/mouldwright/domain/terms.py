"""What a customer and the shop agree on beside part and quantity: reductions, haste, deliveries."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from mouldwright.domain.errors import Fault, InvalidInput, nearest
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.hours.spoken import spoken_day
from mouldwright.domain.money import Currency
from mouldwright.domain.shop import PricePolicy

# Each has a date of its own to plan.
MOST_DELIVERIES = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """Part of an order, sent by itself.

    Attributes:
        quantity: Good pieces in it.
        due: When it is wanted; None for as it can be promised.
        rush: Whether it goes before what is booked, at the shop's surcharge for haste.
    """

    quantity: int
    due: datetime | None = None
    rush: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What is agreed; each left out asks for nothing.

    Attributes:
        customer_class: A class of customer that the shop gives a discount to.
        discount_rate: Share of the goods taken off; None for that of the class.
        discount_amount: An amount taken off besides.
        deliveries: How the order is split, in the order they are sent; empty for one delivery.
        rush: Whether an order sent at once goes before what is booked.
        spares: Whether the pieces are sold as spares, in whole packs.
    """

    customer_class: str = ""
    discount_rate: Decimal | None = None
    discount_amount: Decimal = Decimal(0)
    deliveries: tuple[Delivery, ...] = ()
    rush: bool = False
    spares: bool = False

    @property
    def are_usual(self) -> bool:
        """Return whether nothing is agreed beside part and quantity."""
        return self == USUAL

    @property
    def is_by_class(self) -> bool:
        """Return whether the discount is that of the customer's class, and none agreed instead."""
        return bool(self.customer_class) and self.discount_rate is None

    def discount(self, policy: PricePolicy) -> Decimal:
        """Return the share of the goods that is taken off."""
        if self.discount_rate is not None:
            return self.discount_rate
        held = (each.of_goods for each in policy.discounts if each.who == self.customer_class)
        return next(held, Decimal(0))

    def at(self, quantity: int) -> Terms:
        """Return the terms for another quantity: the last deliveries give or take the rest."""
        left, kept = quantity, []
        for each in self.deliveries:
            if left > 0:
                kept.append(replace(each, quantity=min(each.quantity, left)))
            left -= each.quantity
        if kept and left > 0:
            kept[-1] = replace(kept[-1], quantity=kept[-1].quantity + left)
        return replace(self, deliveries=tuple(kept))

    def words(self, zone: str) -> str:
        """Return what is agreed, as it is said to the person quoting; empty for nothing."""
        said = [self.customer_class] if self.customer_class else []
        if self.discount_rate is not None:
            said.append(f"{(self.discount_rate * 100).normalize():f} % off")
        if self.discount_amount:
            said.append(f"{self.discount_amount:f} off")
        for each in self.deliveries:
            by = ""
            if each.due is not None:
                by = f" by {spoken_day(local(minute_of(each.due), zone))}"
            said.append(f"{each.quantity}{by}{', rush' if each.rush else ''}")
        if self.rush:
            said.append("rush")
        if self.spares:
            said.append("as spares")
        return "; ".join(said)

    def sent(self, quantity: int, due: datetime | None) -> tuple[Delivery, ...]:
        """Return every delivery; an order that is not split is one."""
        return self.deliveries or (Delivery(quantity=quantity, due=due, rush=self.rush),)


USUAL = Terms()


def check_terms(
    terms: Terms, policy: PricePolicy, currency: Currency, quantity: int, *, due: datetime | None
) -> None:
    """Raise InvalidInput, with every fault, where terms cannot be kept.

    Args:
        terms: What is agreed.
        policy: The shop's.
        currency: Its decimals.
        quantity: Good pieces wanted in all.
        due: When an order that is not split is wanted.
    """
    found = [
        *_discount_faults(terms, policy, currency),
        *_delivery_faults(terms, quantity),
        *_rush_faults(terms, policy, quantity, due),
    ]
    if found:
        raise InvalidInput(found)


def _discount_faults(terms: Terms, policy: PricePolicy, currency: Currency) -> Iterable[Fault]:
    known = [each.who for each in policy.discounts]
    if terms.customer_class and terms.customer_class not in known:
        yield Fault(
            path="terms.customer_class",
            value=terms.customer_class,
            problem="the shop has no discount for that class of customer.",
            remedy=nearest(terms.customer_class, known)
            if known
            else "Write the classes under shop.price.discounts, or leave it out.",
        )
    rate = terms.discount_rate
    if rate is not None and not 0 <= rate < 1:
        yield Fault(
            path="terms.discount_rate",
            value=f"{rate:f}",
            problem="that is no share of the price to take off.",
            remedy="Write 0 up to but not including 1, such as 0.05 for 5 %.",
        )
    amount = terms.discount_amount
    if amount < 0 or not currency.holds(amount):
        yield Fault(
            path="terms.discount_amount",
            value=f"{amount:f}",
            problem=f"that is no amount in {currency.code} to take off.",
            remedy=f"Write {currency.text(abs(amount))}.",
        )


def _delivery_faults(terms: Terms, quantity: int) -> Iterable[Fault]:
    if not terms.deliveries:
        return
    if terms.rush:
        yield Fault(
            path="terms.rush",
            value="true",
            problem="the order is split, so haste is a matter of each delivery.",
            remedy="Ask for rush at the delivery that is needed sooner.",
        )
    if len(terms.deliveries) > MOST_DELIVERIES:
        yield Fault(
            path="terms.deliveries",
            value=str(len(terms.deliveries)),
            problem="that is more than are dated at once.",
            remedy=f"Split the order into at most {MOST_DELIVERIES}.",
        )
    for place, each in enumerate(terms.deliveries):
        if each.quantity < 1:
            yield Fault(
                path=f"terms.deliveries[{place}].quantity",
                value=str(each.quantity),
                problem="a delivery has at least 1 piece.",
                remedy="Give a whole number from 1, or leave the delivery out.",
            )
    in_all = sum(each.quantity for each in terms.deliveries)
    if in_all != quantity:
        yield Fault(
            path="terms.deliveries",
            value=str(in_all),
            problem=f"the deliveries come to {in_all} and the order is for {quantity}.",
            remedy=f"Split {quantity} so that the deliveries add up to it.",
        )


def _rush_faults(
    terms: Terms, policy: PricePolicy, quantity: int, due: datetime | None
) -> Iterable[Fault]:
    for place, each in enumerate(terms.sent(quantity, due)):
        where = f"terms.deliveries[{place}]." if terms.deliveries else ""
        if each.rush and not policy.rush:
            yield Fault(
                path=f"{where or 'terms.'}rush",
                value="true",
                problem="the shop states no surcharge for haste.",
                remedy="Write shop.price.rush, or leave rush out.",
            )
        elif each.rush and each.due is None:
            yield Fault(
                path=f"{where}due",
                value="",
                problem="haste is measured by the day it is wanted.",
                remedy="Say when it is wanted, or leave rush out.",
            )
