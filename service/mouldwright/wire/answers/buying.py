"""Answer to "what must be bought, from whom, and what does it cost?"."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from pydantic import BaseModel, Field

from mouldwright.buying.purchase import BuyList, Delivery, OneSupplier, Packs, Purchase
from mouldwright.domain.costing.arrival import DeliveryDays
from mouldwright.domain.costing.stock_need import Shortage
from mouldwright.domain.money import Currency
from mouldwright.wire.answers.money import fine_text

_UNIT = Field(description='"g", or "m" for what comes by the metre')


class NeedAnswer(BaseModel):
    """A material that runs short."""

    material: str
    unit: str = _UNIT
    needed: str
    usable: str = Field(description="in stock, and still good on the day")
    missing: str

    @classmethod
    def of(cls, need: Shortage) -> NeedAnswer:
        """Return the answer for one shortage."""
        return cls(
            material=need.material,
            unit=need.unit,
            needed=fine_text(need.needed, 1),
            usable=fine_text(need.usable, 1),
            missing=fine_text(need.missing, 1),
        )


class PacksAnswer(BaseModel):
    """So many packs of one offer."""

    offer: int = Field(description="its place in the supplier's list, from 1")
    holds: dict[str, str] = Field(description="what one pack holds of each material")
    packs: int
    each: str
    amount: str
    hazardous: bool

    @classmethod
    def of(cls, currency: Currency, packs: Packs) -> PacksAnswer:
        """Return the answer for the packs of one offer."""
        offer = packs.offer
        metres = {key: f"{held:f} m" for key, held in offer.contains_m.items()}
        return cls(
            offer=offer.number,
            holds={key: f"{held:f} g" for key, held in offer.contains_g.items()} | metres,
            packs=packs.count,
            each=currency.text(packs.each),
            amount=currency.text(packs.amount),
            hazardous=offer.hazardous,
        )


class DeliveryAnswer(BaseModel):
    """All that comes from one supplier at once."""

    supplier: str
    title: str
    lead_days: int
    arrives: date = Field(description="when it is there, ordered today: a day the shop is open")
    order_by: date | None = Field(
        description="the last day to order it for the day asked; null where none was asked"
    )
    packs: list[PacksAnswer]
    goods: str
    shipping: str
    hazard_surcharge: str
    total: str

    @classmethod
    def of(cls, currency: Currency, delivery: Delivery, days: DeliveryDays) -> DeliveryAnswer:
        """Return the answer for one delivery."""
        return cls(
            supplier=delivery.supplier.key,
            title=delivery.supplier.title,
            lead_days=delivery.supplier.lead_days,
            arrives=days.arrives,
            order_by=days.order_by,
            packs=[PacksAnswer.of(currency, packs) for packs in delivery.packs],
            goods=currency.text(delivery.goods),
            shipping=currency.text(delivery.shipping),
            hazard_surcharge=currency.text(delivery.hazard_surcharge),
            total=currency.text(delivery.total),
        )


class LeftoverAnswer(BaseModel):
    """What is bought beyond what is needed."""

    material: str
    unit: str = _UNIT
    amount: str


class PurchaseAnswer(BaseModel):
    """One way to buy what is needed."""

    total: str
    deliveries: list[DeliveryAnswer]
    leftovers: list[LeftoverAnswer]
    leftover_value: str = Field(description="what the leftovers count for by the shop's policy")

    @classmethod
    def of(
        cls, currency: Currency, purchase: Purchase, days: Mapping[str, DeliveryDays]
    ) -> PurchaseAnswer:
        """Return the answer for one purchase."""
        return cls(
            total=currency.text(purchase.total),
            deliveries=[
                DeliveryAnswer.of(currency, each, days[each.supplier.key])
                for each in purchase.deliveries
            ],
            leftovers=[
                LeftoverAnswer(
                    material=left.material, unit=left.unit, amount=fine_text(left.amount, 1)
                )
                for left in purchase.leftovers
            ],
            leftover_value=currency.text(currency.round(purchase.leftover_value)),
        )


class OneSupplierAnswer(BaseModel):
    """Buying all of it from one supplier."""

    supplier: str
    title: str
    total: str | None = Field(description="null where they do not hold all of it")
    lacks: list[str]

    @classmethod
    def of(cls, currency: Currency, one: OneSupplier) -> OneSupplierAnswer:
        """Return the answer for one supplier."""
        return cls(
            supplier=one.supplier.key,
            title=one.supplier.title,
            total=None if one.purchase is None else currency.text(one.purchase.total),
            lacks=list(one.lacks),
        )


class BuyListAnswer(BaseModel):
    """The cheapest purchase, with its proof and the other ways beside it."""

    currency: str
    today: date
    by: date | None
    arrives: date = Field(description="when the last delivery is there, ordered today")
    orders: int = Field(description="open orders that draw on the stock first")
    needs: list[NeedAnswer]
    best: PurchaseAnswer
    proven: bool = Field(description="whether no purchase can be cheaper")
    cannot_be_under: str = Field(description="less than this, leftovers counted, no purchase costs")
    second: PurchaseAnswer | None = Field(
        description="the cheapest that takes fewer of at least one pack"
    )
    one_supplier: list[OneSupplierAnswer]
    unsold: list[NeedAnswer] = Field(description="no offer holds these; they are in no total")
    late: list[str] = Field(description="materials that no offer brings by the day asked")

    @classmethod
    def of(
        cls,
        currency: Currency,
        found: BuyList,
        *,
        today: date,
        by: date | None,
        arrives: date,
        days: Mapping[str, DeliveryDays],
        orders: int,
    ) -> BuyListAnswer:
        """Return the answer for a buy list of so many open orders."""
        return cls(
            currency=currency.code,
            today=today,
            by=by,
            arrives=arrives,
            orders=orders,
            needs=[NeedAnswer.of(need) for need in found.needs],
            best=PurchaseAnswer.of(currency, found.best, days),
            proven=found.proven,
            cannot_be_under=currency.text(currency.round(found.cannot_be_under)),
            second=None
            if found.second is None
            else PurchaseAnswer.of(currency, found.second, days),
            one_supplier=[OneSupplierAnswer.of(currency, one) for one in found.one_supplier],
            unsold=[NeedAnswer.of(need) for need in found.unsold],
            late=list(found.late),
        )
