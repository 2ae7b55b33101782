"""Answer to "what would so many cost, and when are they ready?"."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from pydantic import BaseModel, Field

from mouldwright.domain.costing.lines import CostLine
from mouldwright.domain.costing.risk import CostOdds
from mouldwright.domain.costing.unit_cost import UnitCost
from mouldwright.domain.hours.opening import local
from mouldwright.domain.money import Currency
from mouldwright.domain.promise.finish_odds import OrderOdds
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import Shop
from mouldwright.domain.workings import Workings
from mouldwright.wire.answers.money import (
    amount_text,
    cost_text,
    rate_text,
    shortly,
    taken_text,
)
from mouldwright.wire.answers.offer import (
    CostCheckAnswer,
    DeliveryAnswer,
    InversionAnswer,
    LackingAnswer,
    RushOptionAnswer,
    SharedSetUpAnswer,
    SparePriceAnswer,
    WorkingAnswer,
    lacking_answers,
    rush_option_answer,
    shared_answer,
    working_answers,
)


class QuoteLineAnswer(BaseModel):
    """One priced line."""

    kind: str
    text: str
    quantity: str
    unit: str
    rate: str
    amount: str
    delivery: int | None = Field(
        default=None, description="the delivery it is of, from 1; null for the whole order"
    )


class CostLineAnswer(BaseModel):
    """One line of what the order costs us: quantity x rate = amount, before rounding."""

    kind: str
    text: str
    quantity: str | None
    unit: str
    rate: str | None
    amount: str | None = Field(description="null where it is unknown")

    @classmethod
    def of(cls, money: Currency, line: CostLine) -> CostLineAnswer:
        """Return the answer for a line of cost."""
        return cls(
            kind=line.kind,
            text=line.text,
            quantity=None if line.quantity is None else taken_text(line.quantity),
            unit=line.unit,
            rate=None if line.rate is None else rate_text(money, line.rate),
            amount=None if line.amount is None else cost_text(money, line.amount),
        )

    def shortly(self, digits: int) -> tuple[str | None, str | None]:
        """Return how much at which rate, with no more decimals than working it anew needs."""
        if self.quantity is None or self.rate is None or self.amount is None:
            return self.quantity, self.rate
        return shortly(self.quantity, self.rate, self.amount, digits=digits)


class QuoteBreakAnswer(BaseModel):
    """The price at another quantity."""

    quantity: int
    price_each: str
    net: str
    starts: int = Field(description="parts begun for it")
    gross: str = Field(default="", description="the net with its tax")


class SecondsAnswer(BaseModel):
    """Parts that come out as seconds, which no line of the cost counts."""

    expected: float = Field(description="mean number of them")
    price_each: str | None = Field(description="null where the part states none")
    income: str | None = Field(description="what they would bring; null without a price")
    unit_cost_after: str | None = Field(description="cost of a good part if all were sold")

    @classmethod
    def of(cls, shop: Shop, cost: UnitCost) -> SecondsAnswer | None:
        """Return the seconds of a cost, None where there are none."""
        found = cost.seconds
        if found is None:
            return None
        return cls(
            expected=float(found.expected),
            price_each=amount_text(shop.currency, found.price_each),
            income=amount_text(shop.currency, found.income),
            unit_cost_after=amount_text(shop.currency, cost.per_good_part_after_seconds),
        )


class QuoteDatesAnswer(BaseModel):
    """When the order is likely to be ready; null for what lies beyond all hours known."""

    planned: str = Field(description="where everything takes what is planned")
    p50: str | None
    p80: str | None
    p95: str | None

    @classmethod
    def of(cls, odds: OrderOdds, zone: str) -> QuoteDatesAnswer:
        """Return the answer for the odds of one order."""

        def at(minute: int | None) -> str | None:
            return None if minute is None else local(minute, zone).isoformat()

        return cls(
            planned=local(odds.planned, zone).isoformat(),
            p50=at(odds.p50),
            p80=at(odds.p80),
            p95=at(odds.p95),
        )


class DriverAnswer(BaseModel):
    """An input that is not certain, and the cost of one good part at its lows and highs."""

    name: str
    low: str = Field(description="with it at its lowest tenth, all others in the middle")
    high: str


class CostOddsAnswer(BaseModel):
    """What an order may really cost; money for one good part."""

    draws: int
    mean: str
    p50: str
    p80: str
    p95: str
    profit_chance: float = Field(description="that the order's net covers its cost")
    drivers: list[DriverAnswer] = Field(description="what matters most first")

    @classmethod
    def of(cls, shop: Shop, odds: CostOdds) -> CostOddsAnswer:
        """Return the answer for the odds of a cost."""

        def paid(amount: float) -> str:
            return amount_text(shop.currency, Decimal(repr(round(amount, 6)))) or ""

        return cls(
            draws=odds.draws,
            mean=paid(odds.mean),
            p50=paid(odds.p50),
            p80=paid(odds.p80),
            p95=paid(odds.p95),
            profit_chance=odds.profit_chance,
            drivers=[
                DriverAnswer(name=each.name, low=paid(each.low), high=paid(each.high))
                for each in odds.drivers
            ],
        )


class PaymentAnswer(BaseModel):
    """One payment; all of them add up to the gross, and their tax to the tax."""

    when: str
    share: str
    gross: str
    tax: str


class QuoteAnswer(BaseModel):
    """A quote: the lines add up to the net, or to the gross where prices include their tax."""

    number: str | None = Field(description="null until the quote is kept")
    revision: int
    part: str
    process: str | None
    quantity: int
    currency: str
    lines: list[QuoteLineAnswer]
    unit_cost: str
    unit_cost_fine: str = Field(
        default="",
        description="the same before rounding, with four decimals more than the currency has, so "
        "that the price can be worked out again; empty in quotes kept before it was told",
    )
    price_each: str
    price_rule: str
    net: str
    tax: str
    gross: str
    tax_included: bool = Field(
        default=False, description="whether prices and lines are stated with their tax"
    )
    deposit: str
    payments: list[PaymentAnswer] = Field(default=[], description="what falls due when")
    payment_fee: str = Field(default="0", description="what being paid costs, within the price")
    breaks: list[QuoteBreakAnswer]
    finish: str | None
    finish_odds: float | None = Field(
        description="chance that it is ready by finish; where dates is null, only that the starts "
        "give enough good parts"
    )
    dates: QuoteDatesAnswer | None = Field(
        default=None, description="how likely it is by when; null for a date by the rate alone"
    )
    cost_odds: CostOddsAnswer | None = Field(
        default=None, description="what the order may cost; null unless asked"
    )
    deliveries: list[DeliveryAnswer] = Field(
        default=[], description="empty for an order sent at once at the ordinary pace"
    )
    rush_option: RushOptionAnswer | None = Field(
        default=None, description="null where nothing is hurried, or one piece alone"
    )
    shared_set_up: SharedSetUpAnswer | None = Field(
        default=None, description="null where nothing is shared with what is booked"
    )
    inversions: list[InversionAnswer] = Field(
        default=[], description="quantities shown that cost more in all than a larger one"
    )
    spares: list[SparePriceAnswer] = Field(
        default=[], description="a pack of each part that is sold as a spare"
    )
    materials_lacking: list[LackingAnswer] = Field(
        default=[],
        description="materials that stock lacks; the date is counted from when all can be there",
    )
    valid_until: str
    cautions: list[str]
    notes: list[str] = Field(description="for the person quoting, not for the customer")
    starts: int
    pulls: int | None
    cost_total: str
    seconds: SecondsAnswer | None = None
    cost_lines: list[CostLineAnswer]
    workings: list[WorkingAnswer] = Field(
        default=[],
        description="every sum from unit_cost_fine to the last payment; empty in quotes kept "
        "before it was told",
    )
    rounding: str = Field(default="", description="how each of those sums is rounded")
    checklist: list[CostCheckAnswer] = Field(
        default=[],
        description="every group of cost, zeros too; all but the payment fee add up to cost_total",
    )

    @classmethod
    def of(cls, shop: Shop, quote: Quote) -> QuoteAnswer:
        """Return the answer for a quote made in a shop; its cost is known."""
        money, price, cost = shop.currency, quote.price, quote.cost
        worked = Workings.of(shop, quote)

        def paid(amount: Fraction | Decimal | None) -> str:
            return amount_text(money, amount) or ""

        return cls(
            number=quote.number,
            revision=quote.revision,
            part=quote.part,
            process=quote.process,
            quantity=price.quantity,
            currency=money.code,
            lines=[
                QuoteLineAnswer(
                    kind=line.kind,
                    text=line.text,
                    quantity=f"{line.quantity:f}",
                    unit=line.unit,
                    rate=paid(line.rate),
                    amount=paid(line.amount),
                    delivery=line.delivery,
                )
                for line in quote.lines
            ],
            unit_cost=paid(cost.per_good_part),
            unit_cost_fine=""
            if cost.per_good_part is None
            else rate_text(money, cost.per_good_part),
            price_each=paid(price.price_each),
            price_rule=f"{shop.price.rule} {shop.price.rate:f}",
            net=paid(price.net),
            tax=paid(price.tax),
            gross=paid(price.gross),
            tax_included=shop.price.tax_included,
            deposit=paid(price.deposit),
            payments=[
                PaymentAnswer(
                    when=payment.when,
                    share=f"{payment.share.normalize():f}",
                    gross=paid(payment.gross),
                    tax=paid(payment.tax),
                )
                for payment in price.payments
            ],
            payment_fee=paid(price.payment_fee),
            breaks=[
                QuoteBreakAnswer(
                    quantity=b.quantity,
                    price_each=paid(b.price_each),
                    net=paid(b.net),
                    starts=b.starts,
                    gross=paid(b.gross),
                )
                for b in quote.breaks
            ],
            finish=None if quote.finish is None else local(quote.finish, shop.zone).isoformat(),
            finish_odds=None if quote.finish_odds is None else float(quote.finish_odds),
            dates=None if quote.odds is None else QuoteDatesAnswer.of(quote.odds, shop.zone),
            cost_odds=None if quote.cost_odds is None else CostOddsAnswer.of(shop, quote.cost_odds),
            deliveries=[DeliveryAnswer.of(each, shop.zone) for each in quote.deliveries],
            rush_option=rush_option_answer(shop, quote),
            shared_set_up=shared_answer(shop, quote),
            inversions=[
                InversionAnswer(
                    quantity=each.quantity,
                    amount=paid(each.net),
                    instead=each.instead,
                    instead_amount=paid(each.instead_net),
                )
                for each in quote.inversions
            ],
            spares=[
                SparePriceAnswer(
                    part=each.part,
                    title=each.title,
                    pack=each.pack,
                    price_each=paid(each.price_each),
                    goods=paid(each.goods),
                )
                for each in quote.spares
            ],
            materials_lacking=lacking_answers(quote),
            valid_until=quote.valid_until.isoformat(),
            cautions=list(quote.cautions),
            notes=list(quote.notes),
            starts=cost.starts,
            pulls=cost.pulls,
            cost_total=cost_text(money, cost.total) if cost.total is not None else "",
            seconds=SecondsAnswer.of(shop, cost),
            cost_lines=[CostLineAnswer.of(money, line) for line in cost.lines],
            workings=working_answers(shop, worked),
            rounding=worked.rounding,
            checklist=[
                CostCheckAnswer(
                    group=each.group,
                    amount=None if each.amount is None else cost_text(money, each.amount),
                    charged=each.is_charged,
                    written=each.written,
                )
                for each in quote.checklist
            ],
        )
