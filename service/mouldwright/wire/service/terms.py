"""What is agreed on a quote beside part and quantity, as it is asked for and kept."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, PlainSerializer

from mouldwright.domain.terms import Delivery, Terms
from mouldwright.wire.numbers import Money, Rate
from mouldwright.wire.service.instant import Instant

_LARGEST = 100_000
_MOST_DELIVERIES = 12
# Written as the number it is read as.
ShareOff = Annotated[Rate, PlainSerializer(float, return_type=float, when_used="unless-none")]


class DeliveryAsk(BaseModel):
    """Part of an order, sent by itself."""

    model_config = ConfigDict(extra="forbid")

    quantity: int = Field(ge=1, le=_LARGEST, description="good pieces in it")
    due: Instant | None = Field(
        default=None, description="when it is wanted; null for as soon as can be promised"
    )
    rush: bool = Field(
        default=False, description="whether it goes before what is booked, at the shop's surcharge"
    )


class TermsAsk(BaseModel):
    """What is agreed beside part and quantity; what is left out asks for nothing."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [
                {
                    "discount_rate": 0.05,
                    "deliveries": [
                        {"quantity": 4, "due": "2027-03-19T17:00:00Z"},
                        {"quantity": 8},
                    ],
                }
            ]
        },
    )

    customer_class: str = Field(
        default="", max_length=200, description="a class of customer with a discount of its own"
    )
    discount_rate: ShareOff | None = Field(
        default=None, description="share of the goods taken off; null for that of the class"
    )
    discount_amount: Money = Field(
        default=Decimal(0), description="an amount taken off besides, as prices are stated"
    )
    deliveries: list[DeliveryAsk] = Field(
        default=[],
        max_length=_MOST_DELIVERIES,
        description="how the order is split, in the order they are sent; empty for one delivery",
    )
    rush: bool = Field(
        default=False,
        description="whether an order sent at once goes before what is booked; needs a day it is "
        "wanted",
    )
    spares: bool = Field(
        default=False, description="whether the pieces are sold as spares, in whole packs"
    )

    def terms(self) -> Terms:
        """Return the domain's value."""
        return Terms(
            **dict(self) | {"deliveries": tuple(Delivery(**dict(each)) for each in self.deliveries)}
        )

    @classmethod
    def of(cls, terms: Terms) -> TermsAsk:
        """Return terms as they would be asked for."""
        return cls(
            customer_class=terms.customer_class,
            discount_rate=terms.discount_rate,
            discount_amount=f"{terms.discount_amount:f}",  # type: ignore[arg-type]
            deliveries=[
                DeliveryAsk(quantity=each.quantity, due=each.due, rush=each.rush)
                for each in terms.deliveries
            ],
            rush=terms.rush,
            spares=terms.spares,
        )
