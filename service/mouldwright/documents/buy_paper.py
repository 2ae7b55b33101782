"""What to buy on paper: one list for each supplier, with squares to tick."""

from __future__ import annotations

from typing import Any

from mouldwright.buying.purchase import Delivery
from mouldwright.documents.setting import Paper, set_on_paper
from mouldwright.domain.hours.spoken import spoken_day
from mouldwright.domain.money import Currency
from mouldwright.domain.shop import Shop
from mouldwright.usecases.buying import ToBuy

HAZARD = (
    "Hazardous goods: they travel by ground with their papers. Their data sheets, and the rules "
    "of carriers and of where you are, go before anything said here."
)


def buy_pdf(asked: ToBuy, *, paper: Paper = "a4") -> bytes:
    """Return what to buy as a PDF; the same gives the same bytes."""
    shop, found = asked.shop, asked.found
    money = shop.currency
    best = found.best
    data = {
        "shop": shop.name,
        "day": spoken_day(asked.today),
        "orders": asked.orders,
        "currency": money.code,
        "deliveries": [_delivery(asked, money, each) for each in best.deliveries],
        "total": money.text(best.total),
        "arrives": spoken_day(asked.arrives),
        "proof": "No purchase is cheaper; that is proven."
        if found.proven
        else "Whether another is cheaper is not proven.",
        "needs": [
            [
                shop.material_title(each.material),
                f"{float(each.needed):,.1f} {each.unit}",
                f"{float(each.usable):,.1f} {each.unit}",
                f"{float(each.missing):,.1f} {each.unit}",
            ]
            for each in found.needs
        ],
        "unsold": [shop.material_title(each.material) for each in found.unsold],
        "leftovers": [
            f"{float(each.amount):,.1f} {each.unit} {shop.material_title(each.material)}"
            for each in best.leftovers
        ],
        "hazard": HAZARD
        if any(packs.offer.hazardous for each in best.deliveries for packs in each.packs)
        else "",
    }
    return set_on_paper("buying", data, paper=paper)


def _delivery(asked: ToBuy, money: Currency, each: Delivery) -> dict[str, Any]:
    shop, days = asked.shop, asked.days[each.supplier.key]
    comes = f"there on {spoken_day(days.arrives)}"
    if days.order_by is not None:
        comes += f", to be ordered by {spoken_day(days.order_by)}"
    rows = [
        [
            str(packs.count),
            ", ".join(
                (
                    *_holds(shop, packs.offer.contains_g, "g"),
                    *_holds(shop, packs.offer.contains_m, "m"),
                )
            )
            + (" (hazardous)" if packs.offer.hazardous else ""),
            money.text(packs.each),
            money.text(packs.amount),
        ]
        for packs in each.packs
    ]
    besides = [["Shipping", money.text(each.shipping)]]
    if each.hazard_surcharge:
        besides.append(["Hazard surcharge", money.text(each.hazard_surcharge)])
    return {
        "supplier": each.supplier.title,
        "comes": comes,
        "rows": rows,
        "besides": besides,
        "total": money.text(each.total),
    }


def _holds(shop: Shop, contains: Any, unit: str) -> list[str]:
    return [f"{shop.material_title(key)} {amount:,f} {unit}" for key, amount in contains.items()]
