"""How a quote's price, lines, tax and payments come about: each sum as it is worked on paper.

What a part costs stands in its cost lines; from there on every amount of a quote follows from
figures stated here, so that nobody has to know a share or a rule that is not before them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.price import Payment, as_stated, sale_price
from mouldwright.domain.money import Currency, decimal_text
from mouldwright.domain.offer_lines import QuoteLine
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import PricePolicy, Shop

# A cost is stated with so many decimals more than its currency has.
FINER = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """One amount and the sum that makes it.

    Attributes:
        what: What the amount is.
        how: The sum, in figures: "38.062003 / (1 - 0.38)".
        amount: What it comes to, rounded to the currency.
    """

    what: str
    how: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Workings:
    """Every sum of a quote.

    Attributes:
        sums: From the cost of one good part to the last payment, in their order.
        rounding: How each of them is rounded, in a sentence or two.
    """

    sums: tuple[Working, ...]
    rounding: str

    @classmethod
    def of(cls, shop: Shop, quote: Quote) -> Workings:
        """Return the sums of a quote made in a shop."""
        policy, money, price = shop.price, shop.currency, quote.price
        each = Working(
            what="price each",
            how=_sold(policy, money, price.cost_each),
            amount=price.price_each,
        )
        lines = [
            working
            for at, line in enumerate(quote.lines)
            for working in _line(shop, quote, line, quote.lines[:at])
        ]
        totals, payments = _sums(policy, money, quote), _payments(policy, money, quote)
        return cls(sums=(each, *lines, *totals, *payments), rounding=_rounding(policy, money))


def _rounding(policy: PricePolicy, money: Currency) -> str:
    said = f"Each is rounded to {_decimals(money.digits)}, a half up."
    if policy.instalments:
        said += (
            " Payments are rounded down; what is then left over goes to the largest remainders, "
            f"{money.text(money.minor_unit)} each."
        )
    return said


def _decimals(digits: int) -> str:
    return {0: "whole amounts", 1: "1 decimal"}.get(digits, f"{digits} decimals")


def _sold(policy: PricePolicy, money: Currency, cost: Fraction) -> str:
    """Return the sum by which a cost becomes a price."""
    rate, fee = _plain(policy.rate), _fee(policy)
    if policy.rule == "margin":
        how = f" / (1 - {rate}{f' - {fee}' if fee else ''})"
    else:
        how = f" x (1 + {rate})"
        how += f" / (1 - {fee} x (1 + {rate}))" if fee else ""
    if policy.tax_included and policy.tax_rate:
        how += f" x (1 + {_plain(policy.tax_rate)})"
    return f"{_fine(money, cost)}{how}"


def _fine(money: Currency, cost: Fraction) -> str:
    """Return a cost as it is told before rounding, one that the currency can pay as it is paid."""
    paid = money.round(cost)
    return money.text(paid) if paid == cost else decimal_text(cost, money.digits + FINER)


def _fee(policy: PricePolicy) -> str:
    """Return what being paid costs as a share of the price before tax."""
    if not policy.payment_fee_rate:
        return ""
    tax = f" x (1 + {_plain(policy.tax_rate)})" if policy.tax_rate else ""
    return f"{_plain(policy.payment_fee_rate)}{tax}"


def _line(
    shop: Shop, quote: Quote, line: QuoteLine, before: Sequence[QuoteLine]
) -> Iterator[Working]:
    """Yield the sum of one of the customer's lines; one that was agreed has none."""
    policy, money = shop.price, shop.currency
    how = ""
    if line.kind in ("parts", "spares"):
        each = quote.price.price_each
        pack = f" x {line.rate / each:f}" if line.kind == "spares" and each else ""
        how = f"{line.quantity.normalize():f}{pack} x {money.text(each)}"
    elif line.kind == "discount":
        how = f"{money.text(quote.price.goods)} x {_plain(quote.terms.discount(policy))}"
    elif line.kind == "rush":
        sent = quote.deliveries[(line.delivery or 1) - 1]
        goods = money.text(quote.price.price_each * sent.quantity)
        how = f"{goods} x {_plain(sent.surcharge)}"
    elif line.kind == "delivery":
        how = _sold(policy, money, Fraction(shop.outbound.per_order))
    elif line.kind == "shared" and quote.shared is not None:
        how = _sold(policy, money, quote.shared.saved)
        if -line.amount < money.round(as_stated(policy, sale_price(policy, quote.shared.saved))):
            how += ", no more than the lines before it"
    elif line.kind == "top-up":
        so_far = sum((each.amount for each in before), Decimal(0))
        how = f"{money.text(policy.least_order)} - {money.text(so_far)}"
    elif line.kind == "cancellation":
        yield Working(
            what="a part begun and given up",
            how=_at_cost(policy, money, quote.price.cost_each),
            amount=line.rate,
        )
        how = f"{line.quantity.normalize():f} x {money.text(line.rate)}"
    if how:
        named = line.text if line.delivery is None else f"{line.text}, delivery {line.delivery}"
        off = "-" if line.amount < 0 else ""
        yield Working(what=named, how=f"{off}{how}", amount=line.amount)


def _at_cost(policy: PricePolicy, money: Currency, cost: Fraction) -> str:
    taxed = policy.tax_included and policy.tax_rate
    how = f" x (1 + {_plain(policy.tax_rate)})" if taxed else ""
    return f"{_fine(money, cost)}{how}"


def _sums(policy: PricePolicy, money: Currency, quote: Quote) -> Iterator[Working]:
    """Yield what the lines add up to, the tax, and what is to pay."""
    price, rate = quote.price, _plain(policy.tax_rate)
    stated = price.gross if policy.tax_included else price.net
    added = _added(money, [line.amount for line in quote.lines])
    of_it = f"{rate} / (1 + {rate})" if policy.tax_included else rate
    by_line = policy.tax_on == "lines" and len(quote.lines) > 1
    each = ", each line rounded by itself" if by_line else ""
    taxed = f"({added})" if each else money.text(stated)
    tax = Working(what="tax", how=f"{taxed} x {of_it}{each}", amount=price.tax)
    if policy.tax_included:
        yield Working(what="to pay, tax included", how=added, amount=price.gross)
        yield tax
        how = f"{money.text(price.gross)} - {money.text(price.tax)}"
        yield Working(what="net", how=how, amount=price.net)
    else:
        yield Working(what="net", how=added, amount=price.net)
        yield tax
        how = f"{money.text(price.net)} + {money.text(price.tax)}"
        yield Working(what="to pay", how=how, amount=price.gross)
    if policy.payment_fee_rate:
        yield Working(
            what="being paid costs, within the price",
            how=f"{money.text(price.gross)} x {_plain(policy.payment_fee_rate)}",
            amount=price.payment_fee,
        )


def _payments(policy: PricePolicy, money: Currency, quote: Quote) -> Iterator[Working]:
    """Yield each payment and the tax in it; none where all is paid at once."""
    price = quote.price
    if len(price.payments) < 2:
        return
    by_share = price.payments if policy.instalments else price.payments[:1]
    for paid in by_share:
        share = _plain(paid.share)
        yield from _payment(paid, *(f"{money.text(x)} x {share}" for x in (price.gross, price.tax)))
    if not policy.instalments:
        first, rest = price.payments
        yield from _payment(
            rest,
            f"{money.text(price.gross)} - {money.text(first.gross)}",
            f"{money.text(price.tax)} - {money.text(first.tax)}",
        )


def _payment(paid: Payment, gross: str, tax: str) -> Iterator[Working]:
    yield Working(what=f"payment {paid.when}", how=gross, amount=paid.gross)
    yield Working(what=f"tax in the payment {paid.when}", how=tax, amount=paid.tax)


def _added(money: Currency, amounts: Sequence[Decimal]) -> str:
    """Return amounts as one sum, what is taken off with a minus."""
    first, *others = amounts
    said = money.text(first)
    for each in others:
        said += f" {'-' if each < 0 else '+'} {money.text(abs(each))}"
    return said


def _plain(share: Decimal) -> str:
    return f"{share.normalize():f}"
