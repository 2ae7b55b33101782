"""Parts of a quote's answer: its deliveries, what haste costs, spares, and what to look at."""

from __future__ import annotations

from datetime import date

from pydantic import BaseModel, Field

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.promise.delivery import PromisedDelivery
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import Shop
from mouldwright.domain.workings import Workings
from mouldwright.wire.answers.money import amount_text, cost_text


class DeliveryAnswer(BaseModel):
    """A delivery of an order: how many, when, and what haste costs it."""

    number: int
    quantity: int
    due: str | None = Field(description="when it is wanted; null for as promised")
    finish: str | None = Field(description="when it is ready; null where no date can be promised")
    finish_odds: float | None = Field(description="chance of that; null for a date by the rate")
    late: bool = Field(description="whether it is ready after it is wanted")
    rush: bool
    ordinary: str | None = Field(description="when it would be ready at the ordinary pace")
    days_sooner: int = Field(
        description="calendar days haste gains on that, none before the day it is wanted"
    )
    surcharge: float = Field(description="share of its price that haste costs")

    @classmethod
    def of(cls, promised: PromisedDelivery, zone: str) -> DeliveryAnswer:
        """Return the answer for a delivery."""

        def at(minute: int | None) -> str | None:
            return None if minute is None else local(minute, zone).isoformat()

        due = None if promised.due is None else minute_of(promised.due)
        return cls(
            number=promised.number,
            quantity=promised.quantity,
            due=at(due),
            finish=at(promised.finish),
            finish_odds=None if promised.chance is None else round(promised.chance, 4),
            late=due is not None and promised.finish is not None and promised.finish > due,
            rush=promised.rush,
            ordinary=at(promised.ordinary),
            days_sooner=promised.days_sooner,
            surcharge=float(promised.surcharge),
        )


class WorkingAnswer(BaseModel):
    """One amount of a quote and the sum that makes it."""

    what: str
    how: str = Field(description="the sum, in figures")
    amount: str


def working_answers(shop: Shop, found: Workings) -> list[WorkingAnswer]:
    """Return every sum from the cost of one good part to the last payment."""
    return [
        WorkingAnswer(what=each.what, how=each.how, amount=shop.currency.text(each.amount))
        for each in found.sums
    ]


class RushOptionAnswer(BaseModel):
    """What hurrying only the smallest lot that is needed would cost."""

    by: str
    quantity: int = Field(description="pieces that are hurried as it stands")
    ready: int = Field(description="of those, ready by then without haste")
    surcharge: str = Field(description="what hurrying all of them costs")
    each: str = Field(description="what hurrying one costs")


class SparePriceAnswer(BaseModel):
    """What one pack of spares costs, ordered by itself."""

    part: str
    title: str
    pack: int = Field(description="pieces in it")
    price_each: str
    goods: str = Field(description="price_each x pack, before the smallest order")


class SharedSetUpAnswer(BaseModel):
    """What sharing mixes, plates and loads with booked orders saves."""

    orders: list[str] = Field(description="that it could share with")
    batches: int = Field(description="fewer together than apart")
    saved: str = Field(description="what those would have cost")
    given: bool = Field(description="whether a line takes it off the price")


class LackingAnswer(BaseModel):
    """A material that stock lacks, and the date is counted from."""

    material: str
    unit: str
    short: float = Field(description="not on the shelf, what earlier orders take left out")
    there_on: date | None = Field(
        description="local day from which it can all be there; null where nothing brings it, so "
        "that no day is promised"
    )
    supplier: str | None = Field(description="who would deliver it soonest; null where none does")


class InversionAnswer(BaseModel):
    """A quantity that costs more in all than a larger one."""

    quantity: int
    amount: str
    instead: int
    instead_amount: str


class CostCheckAnswer(BaseModel):
    """One group of cost with what is charged for it; nothing is a zero, so that it is seen."""

    group: str
    amount: str | None = Field(description="for the whole order; null where it is unknown")
    charged: bool
    written: str = Field(description="the keys of a scenario that it comes from")


def lacking_answers(quote: Quote) -> list[LackingAnswer]:
    """Return what stock lacks, and from when it can be there."""
    return [
        LackingAnswer(
            material=each.material,
            unit=each.unit,
            short=round(float(each.short), 3),
            there_on=each.there_on,
            supplier=each.supplier,
        )
        for each in quote.lacking
    ]


def rush_option_answer(shop: Shop, quote: Quote) -> RushOptionAnswer | None:
    """Return what hurrying fewer would cost; None where there is nothing to choose."""
    found = quote.rush_option
    if found is None:
        return None
    return RushOptionAnswer(
        by=local(found.by, shop.zone).isoformat(),
        quantity=found.quantity,
        ready=found.ready,
        surcharge=amount_text(shop.currency, found.surcharge) or "",
        each=amount_text(shop.currency, found.each) or "",
    )


def shared_answer(shop: Shop, quote: Quote) -> SharedSetUpAnswer | None:
    """Return what sharing set-up saves; None where nothing is shared."""
    found = quote.shared
    if found is None:
        return None
    return SharedSetUpAnswer(
        orders=list(found.orders),
        batches=found.batches,
        saved=cost_text(shop.currency, found.saved),
        given=shop.price.shared_set_up == "given",
    )
