"""Suppliers and their offers as they are written down."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Annotated, Any

from pydantic import PlainSerializer, PlainValidator, WithJsonSchema

from mouldwright.domain import supplier as domain
from mouldwright.wire.hours import (
    ClosedDates,
    TimeOfDay,
    Weekday,
    dates_in,
    days_in,
    days_text,
    intervals_text,
)
from mouldwright.wire.model import Key, Model, Text, key, title_from
from mouldwright.wire.numbers import (
    AmountAbove,
    Money,
    MoneyText,
    Number,
    Whole,
    money_text,
    wrong,
)


def _price_breaks(value: Any) -> tuple[tuple[int, Decimal], ...]:
    shape = 'Write pairs of packs and price: [[3, "35.50"], [6, "33.00"]].'
    if not isinstance(value, list) or not all(isinstance(p, list) and len(p) == 2 for p in value):
        raise wrong("price breaks are a list of pairs.", shape)
    packs = Number("whole", "3", at_least=1)
    breaks = tuple((packs.read(count), MoneyText().read(price)) for count, price in value)
    if any(later <= earlier for (earlier, _), (later, _) in pairwise(breaks)):
        raise wrong("the packs of the breaks must rise.", shape)
    return breaks


PriceBreaks = Annotated[
    tuple[tuple[int, Decimal], ...],
    PlainValidator(_price_breaks),
    PlainSerializer(lambda breaks: [[count, f"{price:f}"] for count, price in breaks]),
    WithJsonSchema(
        {
            "type": "array",
            "items": {
                "type": "array",
                "prefixItems": [
                    {"type": "integer", "minimum": 1},
                    {"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)?$"},
                ],
                "minItems": 2,
                "maxItems": 2,
            },
            "words": "list of [packs, money] pairs",
        }
    ),
]


class Offer(Model):
    """One pack as sold, of one material or a bundle of several."""

    contains: dict[Key, AmountAbove] = key(
        "Grams of each material in a pack.", default={}, unit="g"
    )
    contains_m: dict[Key, AmountAbove] = key(
        "Metres of each material in a pack.", default={}, unit="m"
    )
    price: Money = key("One pack.")
    price_breaks: PriceBreaks = key(
        "From so many packs in one delivery, the price of each of them.", default=()
    )
    hazardous: bool = key(
        "Whether a delivery that holds it draws the hazard surcharge.", default=False
    )

    def model_post_init(self, _context: object) -> None:
        """Refuse an empty pack."""
        if not self.contains and not self.contains_m:
            raise wrong(
                "the pack holds nothing.",
                "Write contains = { material = grams } or contains_m = { material = metres }.",
                key="contains",
            )

    def offer(self, supplier: str, number: int) -> domain.Offer:
        """Return the offer at that place of the supplier's list."""
        return domain.Offer(
            supplier=supplier,
            number=number,
            price=self.price,
            contains_g=dict(self.contains),
            contains_m=dict(self.contains_m),
            price_breaks=self.price_breaks,
            hazardous=self.hazardous,
        )

    @classmethod
    def of(cls, offer: domain.Offer) -> Offer:
        """Return the offer as it would be written."""
        return cls.written(
            contains=dict(offer.contains_g),
            contains_m=dict(offer.contains_m),
            price=money_text(offer.price),
            price_breaks=[[count, money_text(price)] for count, price in offer.price_breaks],
            hazardous=offer.hazardous,
        )


class Supplier(Model):
    """Who sells, and what a delivery from them costs."""

    title: Text | None = key("As people read it; left out, made from the key.", default=None)
    shipping: Money = key("Of one delivery.", default=Decimal(0))
    hazard_surcharge: Money = key(
        "Once per delivery that holds any hazardous pack.", default=Decimal(0)
    )
    lead_days: Whole = key(
        "From order to delivery, of the days on which they work.", default=0, unit="days"
    )
    days_off: list[Weekday] = key(
        "Days of the week on which they neither take an order nor deliver.", default=[]
    )
    closed: list[ClosedDates] = key(
        "Dates and intervals, both ends included, on which they do neither.", default=[]
    )
    cut_off: TimeOfDay | None = key(
        "From when on an order is taken the next day they work, in the shop's local time.",
        default=None,
    )
    offers: list[Offer] = key("What they sell.", default=[])

    def model_post_init(self, _context: object) -> None:
        """Refuse who never works."""
        if len(set(self.days_off)) == 7:
            raise wrong(
                "a supplier works on one day of the week at least.",
                'Leave one out, such as days_off = ["sat", "sun"].',
                key="days_off",
            )

    def supplier(self, name: str) -> domain.Supplier:
        """Return the supplier of that key."""
        return domain.Supplier(
            key=name,
            title=self.title or title_from(name),
            shipping=self.shipping,
            hazard_surcharge=self.hazard_surcharge,
            lead_days=self.lead_days,
            days_off=days_in(self.days_off),
            closed=dates_in(self.closed),
            cut_off=self.cut_off,
            offers=tuple(o.offer(name, n) for n, o in enumerate(self.offers, start=1)),
        )

    @classmethod
    def of(cls, supplier: domain.Supplier) -> Supplier:
        """Return the supplier as it would be written."""
        return cls.written(
            title=None if supplier.title == title_from(supplier.key) else supplier.title,
            shipping=money_text(supplier.shipping),
            hazard_surcharge=money_text(supplier.hazard_surcharge),
            lead_days=supplier.lead_days,
            days_off=days_text(supplier.days_off),
            closed=intervals_text(supplier.closed),
            cut_off=None
            if supplier.cut_off is None
            else f"{supplier.cut_off // 60:02d}:{supplier.cut_off % 60:02d}",
            offers=[Offer.of(offer) for offer in supplier.offers],
        )
