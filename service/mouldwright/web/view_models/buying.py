"""What to buy, as it is read: what runs short, a table for each delivery, the other ways."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.buying.purchase import Delivery, Packs, Purchase
from mouldwright.domain.costing.stock_need import Shortage
from mouldwright.domain.shop import Shop
from mouldwright.usecases.buying import ToBuy
from mouldwright.web.view_models.quote import title_of
from mouldwright.web.words import amount, count, day_and_year, money


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortRow:
    """A material that runs short; ``note`` says where no offer, or none in time, holds it."""

    key: str
    title: str
    needed: str
    usable: str
    missing: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackRow:
    """Packs of one offer."""

    holds: str
    packs: int
    each: str
    amount: str
    is_hazardous: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryView:
    """One delivery, its rows adding up to its total."""

    title: str
    key: str
    comes: str
    rows: tuple[PackRow, ...]
    shipping: str
    hazard: str
    total: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherWay:
    """Another way to buy, with what it costs or why it does not do."""

    title: str
    total: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingView:
    """The buy list.

    Attributes:
        proof: Why nothing cheaper is to be looked for.
        left: What stays over of the packs.
    """

    what_for: str
    short: tuple[ShortRow, ...]
    deliveries: tuple[DeliveryView, ...]
    total: str
    proof: str
    arrives: str
    left: tuple[tuple[str, str], ...]
    left_value: str
    others: tuple[OtherWay, ...]


def buying_view(bought: ToBuy) -> BuyingView:
    """Return what to buy in the reader's words."""
    shop, found = bought.shop, bought.found
    best = found.best
    proof = "Proven: no purchase of these is cheaper."
    if not found.proven:
        proof = (
            "The search was ended early: none can cost less than "
            f"{money(shop.currency, found.cannot_be_under)}."
        )
    return BuyingView(
        what_for=_what_for(bought),
        short=tuple(_short(bought, need) for need in found.needs),
        deliveries=tuple(_delivery(bought, delivery) for delivery in best.deliveries),
        total=money(shop.currency, best.total),
        proof=proof,
        arrives=day_and_year(bought.arrives),
        left=tuple(
            (shop.material_title(left.material), _held(float(left.amount), left.unit))
            for left in best.leftovers
        ),
        left_value=money(shop.currency, best.leftover_value) if best.leftover_value else "",
        others=_others(bought),
    )


def _what_for(bought: ToBuy) -> str:
    if bought.beside is None:
        return count(bought.orders, "open order")
    wanted = bought.beside
    return f"{wanted.quantity:,} × {title_of(bought.shop, wanted.part)}, after the open orders"


def _short(bought: ToBuy, need: Shortage) -> ShortRow:
    note = ""
    if need in bought.found.unsold:
        note = "No offer holds it: what it costs is unknown, and in no total."
    elif need.material in bought.found.late:
        note = "No offer brings it in time: the soonest is taken."
    return ShortRow(
        key=need.material,
        title=bought.shop.material_title(need.material),
        needed=_held(float(need.needed), need.unit),
        usable=_held(float(need.usable), need.unit),
        missing=_held(float(need.missing), need.unit),
        note=note,
    )


def _delivery(bought: ToBuy, delivery: Delivery) -> DeliveryView:
    shop, supplier = bought.shop, delivery.supplier
    days = bought.days[supplier.key]
    comes = f"Ordered today it is there on {day_and_year(days.arrives)}"
    if days.order_by is not None:
        comes += f"; order it by {day_and_year(days.order_by)}"
    hazardous = any(packs.offer.hazardous for packs in delivery.packs)
    return DeliveryView(
        title=supplier.title,
        key=supplier.key,
        comes=f"{comes}.",
        rows=tuple(_packs(shop, packs) for packs in delivery.packs),
        shipping=amount(shop.currency, delivery.shipping),
        hazard=amount(shop.currency, delivery.hazard_surcharge) if hazardous else "",
        total=amount(shop.currency, delivery.total),
    )


def _packs(shop: Shop, packs: Packs) -> PackRow:
    offer = packs.offer
    holds = [f"{grams:,f} g {shop.material_title(key)}" for key, grams in offer.contains_g.items()]
    holds += [
        f"{metres:,f} m {shop.material_title(key)}" for key, metres in offer.contains_m.items()
    ]
    return PackRow(
        holds=", ".join(holds),
        packs=packs.count,
        each=amount(shop.currency, packs.each),
        amount=amount(shop.currency, packs.amount),
        is_hazardous=offer.hazardous,
    )


def _others(bought: ToBuy) -> tuple[OtherWay, ...]:
    shop, found = bought.shop, bought.found
    ways = []
    if found.second is not None:
        ways.append(
            OtherWay(
                title="The next best",
                total=money(shop.currency, found.second.total),
                note=_from(shop, found.second),
            )
        )
    for one in found.one_supplier:
        lacks = ", ".join(shop.material_title(material) for material in one.lacks)
        ways.append(
            OtherWay(
                title=f"All from {one.supplier.title}",
                total="–" if one.purchase is None else money(shop.currency, one.purchase.total),
                note=f"has no {lacks}" if one.purchase is None else _from(shop, one.purchase),
            )
        )
    return tuple(ways)


def _from(shop: Shop, purchase: Purchase) -> str:
    return "; ".join(
        f"{delivery.supplier.title}: "
        + ", ".join(f"{p.count} of {_packs(shop, p).holds}" for p in delivery.packs)
        for delivery in purchase.deliveries
    )


def _held(value: float, unit: str) -> str:
    return f"{value:,.1f} {unit}"
