"""The amount of a quote in words: its lines, what they add up to, and when each delivery is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from mouldwright.documents.wording import QuoteWords
from mouldwright.documents.writing import Writing
from mouldwright.domain.costing.price import ON_DELIVERY, ON_ORDERING
from mouldwright.domain.hours.opening import local
from mouldwright.domain.promise.revision import QuoteRevision
from mouldwright.domain.shop import Shop
from mouldwright.wire.answers.quote import (
    PaymentAnswer,
    QuoteAnswer,
    QuoteBreakAnswer,
    QuoteLineAnswer,
)

_MINUTE_S = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class AmountRow:
    """A line of the amount; ``is_sum`` sets it off."""

    text: str
    amount: str
    is_sum: bool = False


def amount_rows(
    shop: Shop, answer: QuoteAnswer, revision: QuoteRevision, write: Writing
) -> tuple[AmountRow, ...]:
    """Return the lines of the amount, what they add up to, and what falls due when."""
    words, price = write.words, shop.price
    rows = [
        AmountRow(text=_line(line, answer, revision, shop, write), amount=write.money(line.amount))
        for line in answer.lines
    ]
    tax = words.tax_in if answer.tax_included else words.tax
    if price.tax_on == "lines" and len(answer.lines) > 1:
        tax = f"{tax}, {words.by_line}"
    net = AmountRow(text=words.net, amount=write.money(answer.net), is_sum=True)
    of_it = AmountRow(
        text=tax.format(rate=write.percent(price.tax_rate)), amount=write.money(answer.tax)
    )
    to_pay = AmountRow(text=words.to_pay, amount=write.money(answer.gross), is_sum=True)
    rows += [to_pay, of_it, net] if answer.tax_included else [net, of_it, to_pay]
    if len(answer.payments) > 1:
        rows += [
            AmountRow(text=_payment(payment, words, write), amount=write.money(payment.gross))
            for payment in answer.payments
        ]
    return tuple(rows)


def _payment(payment: PaymentAnswer, words: QuoteWords, write: Writing) -> str:
    """Return when a payment falls due; what the shop wrote itself stands as written."""
    rate = write.percent(Decimal(payment.share))
    if payment.when == ON_ORDERING:
        return words.deposit.format(rate=rate)
    if payment.when == ON_DELIVERY:
        return words.on_delivery
    return f"{payment.when[:1].upper()}{payment.when[1:]}, {rate}"


def _line(
    line: QuoteLineAnswer, answer: QuoteAnswer, revision: QuoteRevision, shop: Shop, write: Writing
) -> str:
    words = write.words
    text = _plain_line(line, answer, revision, shop, write)
    if line.delivery is None:
        return text
    return f"{text}, {words.delivery.format(number=line.delivery)}"


def _plain_line(
    line: QuoteLineAnswer, answer: QuoteAnswer, revision: QuoteRevision, shop: Shop, write: Writing
) -> str:
    words, terms = write.words, revision.inputs.terms
    count = write.count(int(Decimal(line.quantity)))
    if line.kind == "parts":
        return words.item.format(quantity=count, title=line.text, each=write.money(line.rate))
    if line.kind == "spares":
        pack = write.count(int(line.unit.rsplit(" ", maxsplit=1)[-1]))
        return words.pack.format(
            quantity=count, pack=pack, title=line.text, each=write.money(line.rate)
        )
    if line.kind == "discount":
        rate = write.percent(terms.discount(shop.price))
        if terms.is_by_class:
            return words.discount_class.format(who=terms.customer_class, rate=rate)
        return words.discount.format(rate=rate)
    if line.kind == "rush":
        sent = answer.deliveries[(line.delivery or 1) - 1]
        return words.rush.format(rate=write.percent(sent.surcharge))
    known = {
        "top-up": words.top_up,
        "cancellation": words.given_up,
        "discount-amount": words.discount_amount,
        "delivery": words.further_delivery,
        "shared": words.shared,
    }
    return known.get(line.kind, line.text)


def stated(answer: QuoteAnswer, of: QuoteAnswer | QuoteBreakAnswer) -> str:
    """Return what prices add up to, as the shop states them."""
    return of.gross if answer.tax_included else of.net


def delivery_sentences(
    answer: QuoteAnswer, revision: QuoteRevision, write: Writing
) -> tuple[str, ...]:
    """Say when each delivery is ready and wanted, and what hurrying fewer would cost."""
    words, zone = write.words, revision.figures.zone
    said = []
    for each in answer.deliveries if len(answer.deliveries) > 1 else []:
        if each.finish is None:
            sentence, day = words.delivery_undated, ""
        else:
            sentence = words.deliveries
            day = write.day(local_day(datetime.fromisoformat(each.finish), zone))
        told = [sentence.format(number=each.number, quantity=write.count(each.quantity), day=day)]
        if each.due is not None:
            wished = write.day(local_day(datetime.fromisoformat(each.due), zone))
            told.append(words.delivery_wanted.format(day=wished))
        said.append(" ".join(told))
    option = answer.rush_option
    if option is not None:
        by = write.day(local_day(datetime.fromisoformat(option.by), zone))
        said.append(
            words.rush_option.format(
                ready=write.count(option.ready),
                quantity=write.count(option.quantity),
                day=by,
                each=write.money(option.each),
            )
        )
    return tuple(said)


def local_day(instant: datetime, zone: str) -> date:
    """Return the day of an instant where the shop is."""
    return local(int(instant.timestamp() // _MINUTE_S), zone).date()


def spare_sentences(answer: QuoteAnswer, write: Writing) -> tuple[str, ...]:
    """Say what a pack of each spare costs, ordered by itself."""
    return tuple(
        write.words.spare.format(
            title=each.title,
            pack=write.count(each.pack),
            each=write.money(each.price_each),
            goods=write.money(each.goods),
        )
        for each in answer.spares
    )
