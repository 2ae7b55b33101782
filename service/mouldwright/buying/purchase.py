"""What is bought: packs by delivery, what they cost, what is left over, and the other ways."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.stock_need import Shortage
from mouldwright.domain.supplier import Offer, Supplier


@dataclass(frozen=True, slots=True, kw_only=True)
class Packs:
    """So many packs of one offer.

    Attributes:
        each: Price of one of them, at the break that so many packs reach.
        amount: All of them.
    """

    offer: Offer
    count: int
    each: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """All that comes from one supplier at once.

    Attributes:
        goods: The packs.
        shipping: Of this delivery.
        hazard_surcharge: Once where any pack is hazardous, else nothing.
        total: Goods, shipping and surcharge.
    """

    supplier: Supplier
    packs: tuple[Packs, ...]
    goods: Decimal
    shipping: Decimal
    hazard_surcharge: Decimal
    total: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftover:
    """What is bought of a material beyond what is needed, in grams ("g") or metres ("m")."""

    material: str
    unit: str
    amount: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One way to buy what is needed.

    Attributes:
        total: What is paid.
        leftover_value: What the leftovers count for by the shop's policy; chosen by is
            the total less this.
    """

    deliveries: tuple[Delivery, ...]
    total: Decimal
    leftovers: tuple[Leftover, ...]
    leftover_value: Fraction

    @property
    def lead_days(self) -> int:
        """Return the days until the last delivery is there."""
        return max((d.supplier.lead_days for d in self.deliveries), default=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class OneSupplier:
    """Buying everything from one supplier; no purchase where they do not hold it all."""

    supplier: Supplier
    purchase: Purchase | None
    lacks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyList:
    """What to buy, proven cheapest or said not to be, with the other ways beside it.

    Attributes:
        needs: What runs short.
        best: The cheapest purchase; without deliveries where nothing is short.
        proven: Whether no purchase can be cheaper.
        cannot_be_under: What no purchase can count for less than, leftovers valued by policy.
        second: The cheapest purchase that takes fewer of at least one pack; None if none.
        one_supplier: Each supplier who holds any of it, by themselves.
        unsold: Needs that no offer holds; they are in no total.
        late: Materials that no offer brings by the day they are needed.
    """

    needs: tuple[Shortage, ...]
    best: Purchase
    proven: bool
    cannot_be_under: Fraction
    second: Purchase | None
    one_supplier: tuple[OneSupplier, ...]
    unsold: tuple[Shortage, ...]
    late: tuple[str, ...]
