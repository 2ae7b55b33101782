"""Terms as a person types them: shares with or without per cent, deliveries in a few words."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal, InvalidOperation

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.domain.terms import Delivery, Terms
from mouldwright.usecases.present import wanted_by

_DELIVERY = re.compile(
    r"\s*(?P<quantity>\d{1,6})\s*(?:(?:@|by\s)\s*(?P<due>[0-9][0-9T:+-]*))?\s*,?\s*(?P<rush>rush)?\s*"
)
_SHARE = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*(%?)\s*")


def terms_asked(
    shop: Shop,
    *,
    customer_class: str = "",
    discount: str = "",
    discount_amount: str = "",
    deliveries: Iterable[str] = (),
    rush: bool = False,
    spares: bool = False,
) -> Terms:
    """Return the terms that were typed.

    Args:
        shop: Its hours say when the day a delivery is wanted ends.
        customer_class: Of the customer.
        discount: A share, "0.05" or "5 %"; empty for that of the class.
        discount_amount: An amount, "12.00"; empty for none.
        deliveries: Each as "8", "8 by 2027-04-16" or "8 by 2027-04-16 rush".
        rush: Whether an order that is not split is hurried.
        spares: Whether the pieces are sold as spares.

    Raises:
        InvalidInput: if a text cannot be read; whether the terms can be kept is not looked at.
    """
    return Terms(
        customer_class=customer_class.strip(),
        discount_rate=_share(discount) if discount.strip() else None,
        discount_amount=_amount(discount_amount) if discount_amount.strip() else Decimal(0),
        deliveries=tuple(_delivery(shop, text) for text in deliveries if text.strip()),
        rush=rush,
        spares=spares,
    )


def delivery_text(delivery: Delivery, zone: str) -> str:
    """Return a delivery as it would be typed."""
    said = str(delivery.quantity)
    if delivery.due is not None:
        said += f" by {local(int(delivery.due.timestamp() // 60), zone):%Y-%m-%d}"
    return f"{said} rush" if delivery.rush else said


def _delivery(shop: Shop, text: str) -> Delivery:
    found = _DELIVERY.fullmatch(text)
    if found is None:
        raise _wrong(
            "terms.deliveries",
            text.strip(),
            "that is no delivery.",
            'Write how many, by when, and whether it is hurried: "8 by 2027-04-16 rush".',
        )
    minute = wanted_by(shop, found["due"])
    return Delivery(
        quantity=int(found["quantity"]),
        due=None if minute is None else local(minute, shop.zone),
        rush=bool(found["rush"]),
    )


def _share(text: str) -> Decimal:
    found = _SHARE.fullmatch(text)
    if found is None:
        raise _wrong(
            "terms.discount_rate", text.strip(), "that is no share.", 'Write "0.05" or "5 %".'
        )
    share = Decimal(found[1].replace(",", "."))
    return share / 100 if found[2] else share


def _amount(text: str) -> Decimal:
    try:
        amount = Decimal(text.strip().replace(",", "."))
    except InvalidOperation:
        amount = Decimal("NaN")
    if not amount.is_finite():
        raise _wrong(
            "terms.discount_amount",
            text.strip(),
            "that is no amount.",
            'Write digits with a point: "12.00".',
        )
    return amount


def _wrong(path: str, value: str, problem: str, remedy: str) -> InvalidInput:
    return InvalidInput([Fault(path=path, value=value, problem=problem, remedy=remedy)])
