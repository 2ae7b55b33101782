"""Answer to "what did this order really cost, and where did the money go?"."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from pydantic import BaseModel, Field

from mouldwright.domain.costing.actual_lines import ActualCost, ActualLine, MoneyGroup
from mouldwright.domain.costing.lines import Kind
from mouldwright.domain.money import Currency
from mouldwright.wire.answers.money import amount_text, cost_text, fine_text


class ActualLineAnswer(BaseModel):
    """One line of what an order really cost."""

    kind: Kind
    text: str
    quantity: str
    unit: str
    reckoned: str | None = Field(description="of the unit, by the standard of the same work")
    amount: str | None = Field(
        description="exact, with two decimals more than the currency has; null where a price is "
        "unknown"
    )
    evidence: str = Field(description="what it rests on")

    @classmethod
    def of(cls, currency: Currency, line: ActualLine) -> ActualLineAnswer:
        """Return the answer for one line."""
        return cls(
            kind=line.kind,
            text=line.text,
            quantity=_figure(line.quantity),
            unit=line.unit,
            reckoned=None if line.reckoned is None else _figure(line.reckoned),
            amount=None if line.amount is None else cost_text(currency, line.amount),
            evidence=line.evidence,
        )


class MoneyGroupAnswer(BaseModel):
    """One group of cost, reckoned and real."""

    kind: Kind
    reckoned: str | None
    really: str | None
    over: str | None = Field(description="by how much it cost more; below zero where less")

    @classmethod
    def of(cls, currency: Currency, group: MoneyGroup) -> MoneyGroupAnswer:
        """Return the answer for one group."""
        return cls(
            kind=group.kind,
            reckoned=amount_text(currency, group.reckoned),
            really=amount_text(currency, group.really),
            over=amount_text(currency, group.over),
        )


class ActualCostAnswer(BaseModel):
    """What an order really cost so far, beside what it is reckoned to."""

    order: str
    part: str
    quantity: int
    currency: str
    begun: int
    good: int
    seconds: int
    scrapped: int
    in_work: int
    whole: bool = Field(
        description="whether all that was ordered is good and nothing is in work, so that both "
        "are of the same thing"
    )
    reckoned: str | None
    really: str | None
    reckoned_each: str | None = Field(description="for each good part")
    really_each: str | None
    scrap: str | None = Field(description="what went into scrapped parts")
    seconds_income: str | None = Field(
        description="what its seconds bring at their parts' `second_price`, all of them sold; "
        "no other figure counts it but the next; null where one of them has no price"
    )
    really_each_after: str | None = Field(description="for each good part, the seconds sold")
    quoted_net: str | None = Field(description="without tax; null where it came from no quote")
    quoted_cost_each: str | None = Field(description="what a good part was reckoned to cost then")
    earned: str | None = Field(description="what the quote leaves over what it cost so far")
    groups: list[MoneyGroupAnswer]
    lines: list[ActualLineAnswer]

    @classmethod
    def of(cls, currency: Currency, cost: ActualCost) -> ActualCostAnswer:
        """Return the answer for one order."""
        return cls(
            order=cost.order.number,
            part=cost.order.part,
            quantity=cost.order.quantity,
            currency=currency.code,
            begun=cost.begun,
            good=cost.good,
            seconds=cost.seconds,
            scrapped=cost.scrapped,
            in_work=cost.in_work,
            whole=cost.is_whole,
            reckoned=amount_text(currency, cost.reckoned.total),
            really=amount_text(currency, cost.total),
            reckoned_each=amount_text(currency, cost.reckoned.per_good_part),
            really_each=amount_text(currency, cost.per_good_part),
            scrap=amount_text(currency, cost.scrap),
            seconds_income=amount_text(currency, cost.seconds_income),
            really_each_after=amount_text(currency, cost.per_good_part_after),
            quoted_net=amount_text(currency, cost.quoted.net if cost.quoted else None),
            quoted_cost_each=amount_text(currency, cost.quoted.cost_each if cost.quoted else None),
            earned=amount_text(currency, cost.earned),
            groups=[MoneyGroupAnswer.of(currency, group) for group in cost.groups],
            lines=[ActualLineAnswer.of(currency, line) for line in cost.lines],
        )


def _figure(number: Fraction) -> str:
    """Return a number to six decimals, trailing noughts off."""
    return f"{Decimal(fine_text(number, 6)).normalize():f}"
