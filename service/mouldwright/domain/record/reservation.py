"""What the plan will take from stock: which lot for which task, and when a material runs out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from mouldwright.domain.costing.arrival import order_by as last_order
from mouldwright.domain.material import Lot
from mouldwright.domain.record.stock_ledger import lot_name
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedUse:
    """What a planned task takes of one material.

    Attributes:
        at: When it begins.
        amount: Grams, or metres.
    """

    at: datetime
    operation: str
    process: str
    orders: tuple[str, ...]
    material: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Reserved:
    """A planned use and the lots it will take, what expires first in front.

    Attributes:
        lots: Names of lots with how much of each.
        short: What no lot will hold by then.
    """

    use: PlannedUse
    lots: tuple[tuple[str, Decimal], ...]
    short: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """What becomes of one material's stock under a plan.

    Attributes:
        unit: "g" or "m".
        reserved: By time.
        runs_out: When the first planned task finds too little; None where all are covered.
        short: What is lacking in all.
        left: Still there after the last planned task, what expires by then left out.
        wasted: Lots that expire with something left in them: name, day, and how much.
        supplier: Key of who delivers it soonest; None where nobody sells it.
        order_by: The last day to order what is short from them, so that it is there the day
            before it is needed; None where nothing is short or nobody sells it.
    """

    material: str
    unit: str
    reserved: tuple[Reserved, ...]
    runs_out: datetime | None
    short: Decimal
    left: Decimal
    wasted: tuple[tuple[str, date, Decimal], ...]
    supplier: str | None = None
    order_by: date | None = None

    @property
    def total(self) -> Decimal:
        """Return what the plan takes in all."""
        return sum((each.use.amount for each in self.reserved), Decimal(0))


@dataclass(slots=True, kw_only=True)
class _Shelf:
    name: str
    left: Decimal
    from_day: date
    expires: date | None


def outlook(
    shop: Shop, material: str, lots: Sequence[Lot], uses: Iterable[PlannedUse], *, now: datetime
) -> Outlook:
    """Return what becomes of a material's stock.

    Each task takes, in the order they begin, of the lots that are there and good on its day
    what expires first.

    Args:
        shop: Its zone and suppliers.
        material: Its key.
        lots: As they stand, with deliveries still to come.
        uses: Of that material.
        now: Zone-aware.
    """
    zone = ZoneInfo(shop.zone)
    today = now.astimezone(zone).date()
    shelf = [
        _Shelf(
            name=lot_name(lots, place),
            left=(lot.grams if lot.grams is not None else lot.metres) or Decimal(0),
            from_day=lot.arrives or today,
            expires=lot.expires,
        )
        for place, lot in enumerate(lots)
    ]
    shelf.sort(key=lambda held: (held.expires or date.max, held.from_day))
    reserved = []
    for use in sorted(uses, key=lambda each: each.at):
        day, wanted = max(use.at, now).astimezone(zone).date(), use.amount
        taken = []
        for held in shelf:
            is_good = held.expires is None or held.expires >= day
            some = min(wanted, held.left) if is_good and held.from_day <= day else Decimal(0)
            if some:
                held.left -= some
                wanted -= some
                taken.append((held.name, some))
        reserved.append(Reserved(use=use, lots=tuple(taken), short=wanted))
    last = max((max(r.use.at, now) for r in reserved), default=now).astimezone(zone).date()
    runs_out = next((max(r.use.at, now) for r in reserved if r.short), None)
    wanted_on = (runs_out or now).astimezone(zone).date() - timedelta(days=1)
    order_by, supplier = _to_order(shop, material, wanted_on)
    unit = "m" if any(lot.metres is not None for lot in lots) else "g"
    return Outlook(
        material=material,
        unit=unit,
        reserved=tuple(reserved),
        runs_out=runs_out,
        short=sum((r.short for r in reserved), Decimal(0)),
        left=sum((h.left for h in shelf if h.expires is None or h.expires >= last), Decimal(0)),
        wasted=tuple(
            (h.name, h.expires, h.left)
            for h in shelf
            if h.left and h.expires is not None and h.expires < last
        ),
        supplier=supplier,
        order_by=order_by if runs_out is not None else None,
    )


def _to_order(shop: Shop, material: str, wanted: date) -> tuple[date | None, str | None]:
    """Return until when a material may be ordered to be there on a day, and from whom then."""
    selling = sorted(
        (supplier.lead_days, key)
        for key, supplier in shop.suppliers.items()
        if any(material in offer.materials for offer in supplier.offers)
    )
    last = [(last_order(shop, shop.suppliers[key], wanted), key) for _, key in selling]
    return max(last, key=lambda each: each[0], default=(None, None))
