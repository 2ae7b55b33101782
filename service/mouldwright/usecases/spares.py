"""Spare parts: sold in whole packs, and what one pack of each would cost by itself."""

from __future__ import annotations

from collections.abc import Iterable

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.price import price_of
from mouldwright.domain.errors import CannotBeMade, Fault, HardLimit, InvalidInput
from mouldwright.domain.offer_lines import SentLot
from mouldwright.domain.part.mass import charge
from mouldwright.domain.quote import SparePrice
from mouldwright.domain.shop import Shop
from mouldwright.domain.terms import Terms


def pack_of(shop: Shop, key: str, terms: Terms, lots: Iterable[SentLot]) -> int | None:
    """Return the pieces of a pack where spares are asked for, else None.

    Raises:
        InvalidInput: if the part is not sold as a spare, or a delivery is not of whole packs.
    """
    if not terms.spares:
        return None
    pack = shop.parts[key].spare_pack if key in shop.parts else None
    if pack is None:
        raise _wrong(
            "that is a set: its parts are sold as spares one by one."
            if key in shop.sets
            else "the part is not sold as a spare.",
            "Ask for a part of it."
            if key in shop.sets
            else f"Write parts.{key}.spare_pack, or ask for it singly.",
        )
    broken = next((lot.quantity for lot in lots if lot.quantity % pack), None)
    if broken is not None:
        below, above = broken - broken % pack, broken - broken % pack + pack
        raise _wrong(
            f"spares come in packs of {pack}, and {broken} are no whole packs.",
            f"Ask for {f'{below} or ' if below else ''}{above}.",
        )
    return pack


def spare_prices(shop: Shop, key: str, process: str | None) -> tuple[SparePrice, ...]:
    """Return what one pack of a part, or of each part of a set, costs ordered by itself.

    What cannot be made or priced alone is left out.
    """
    if key in shop.sets:
        wanted = [(each.part, each.process) for each in shop.sets[key].parts]
    else:
        wanted = [(key, process or "")]
    found = []
    for part_key, process_key in dict.fromkeys(wanted):
        part, by = shop.part(part_key), shop.process(process_key)
        pack = part.spare_pack
        if pack is None:
            continue
        try:
            loaded = None if by.structure is None else charge(shop, part, by)
            cost = cost_model(shop, part, by, charge=loaded).per_good_part(pack)
        except (CannotBeMade, HardLimit):
            continue
        if cost is None:
            continue
        price = price_of(shop.price, shop.currency, cost, pack)
        found.append(
            SparePrice(
                part=part.key,
                title=part.title,
                pack=pack,
                price_each=price.price_each,
                goods=price.goods,
            )
        )
    return tuple(found)


def _wrong(problem: str, remedy: str) -> InvalidInput:
    return InvalidInput([Fault(path="terms.spares", value="true", problem=problem, remedy=remedy)])
