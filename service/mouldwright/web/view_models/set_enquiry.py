"""A set asked for: its price, its cost and its date."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.hours.opening import local
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import Shop
from mouldwright.web.view_models.cost import CostView, cost_view
from mouldwright.web.words import count, long_day, money


@dataclass(frozen=True, slots=True, kw_only=True)
class SetView:
    """A set's answer; ``inside`` names its parts and how each is made."""

    strong: str
    answer: str
    inside: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    cost: CostView
    act: str


def set_view(shop: Shop, worked: Quote) -> SetView:
    """Return the view of a set's quote that is not kept."""
    sold, quantity = shop.sets[worked.part], worked.price.quantity
    ready = ""
    if worked.finish is not None:
        ready = f" All are ready on {long_day(local(worked.finish, shop.zone))}."
    return SetView(
        strong=f"{sold.title}.",
        answer=(
            f"{count(quantity, 'set')} at {money(shop.currency, worked.price.price_each)} each, "
            f"{money(shop.currency, worked.price.net)} before tax.{ready}"
        ),
        inside=tuple(
            (f"{each.count} × {shop.part(each.part).title}", shop.process(each.process).title)
            for each in sold.parts
        ),
        notes=worked.notes,
        cautions=worked.cautions,
        cost=cost_view(worked.cost, shop.currency),
        act=f"Quote {quantity:,} at {money(shop.currency, worked.price.price_each)}",
    )
