"""Tables of what is asked: what to buy, and the ways to make a part side by side."""

from __future__ import annotations

from mouldwright.domain.compare import Choice, Comparison
from mouldwright.domain.shop import Shop
from mouldwright.usecases.buying import ToBuy
from mouldwright.usecases.tables.sheet import (
    Cell,
    Column,
    at,
    day,
    listed,
    moment,
    money,
    number,
    text,
    whole,
    yes_or_no,
)

BUY_LIST: tuple[Column, ...] = (
    text("supplier", "key of the supplier"),
    text("supplier_title", "as people read it"),
    text("line", "packs, shipping or hazard surcharge"),
    text("holds", "what is in a pack"),
    whole("packs", "how many"),
    money("each", "price of one, at the break that so many reach"),
    money("amount", "all of them"),
    yes_or_no("hazardous", "whether the pack draws the surcharge"),
    whole("lead_days", "days until the delivery is there"),
    day("arrives", "when it is there, ordered today"),
    day("order_by", "the last day to order it for the day asked"),
)
COMPARISON: tuple[Column, ...] = (
    text("process", "its key"),
    text("title", "as people read it"),
    yes_or_no("makeable", "whether it can be made so at all"),
    yes_or_no("meets_requirement", "whether it passes; empty where nothing is asked"),
    yes_or_no("recommended", "whether it is the one to take"),
    number("deflection_mm", "under the load asked"),
    number("allowed_mm", "the most it may bend"),
    number("utilisation", "deflection over what is allowed"),
    number("mass_g", "of one part"),
    whole("starts", "parts begun"),
    whole("moulds", "moulds reckoned with"),
    money("unit_cost", "cost of one good part"),
    money("price_each", "price of one"),
    money("net", "price of all, before tax"),
    number("lead_time_h", "elapsed hours from now to the last part ready"),
    moment("ready", "when that is"),
    number("rate_per_day", "parts begun an open day"),
    number("good_per_day", "good parts an open day"),
    number("people_h", "hours of hands"),
)


def buy_list_rows(bought: ToBuy) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each pack to buy, and for what its delivery costs besides."""
    rows: list[tuple[Cell, ...]] = []
    shop = bought.shop
    for delivery in bought.found.best.deliveries:
        supplier = delivery.supplier
        days = bought.days[supplier.key]
        for packs in delivery.packs:
            offer = packs.offer
            holds = [f"{shop.material_title(k)} {v} g" for k, v in offer.contains_g.items()]
            holds += [f"{shop.material_title(k)} {v} m" for k, v in offer.contains_m.items()]
            rows.append(
                (
                    supplier.key,
                    supplier.title,
                    "packs",
                    listed(holds),
                    packs.count,
                    packs.each,
                    packs.amount,
                    offer.hazardous,
                    supplier.lead_days,
                    days.arrives,
                    days.order_by,
                )
            )
        besides = [("shipping", delivery.shipping)]
        if delivery.hazard_surcharge:
            besides.append(("hazard surcharge", delivery.hazard_surcharge))
        rows += [
            (supplier.key, supplier.title, what, None, None, None, amount, *[None] * 4)
            for what, amount in besides
        ]
    return tuple(rows)


def comparison_rows(shop: Shop, found: Comparison) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each process that may make the part."""
    return tuple(_choice(shop, found.recommended.process, each) for each in found.choices)


def _choice(shop: Shop, recommended: str | None, choice: Choice) -> tuple[Cell, ...]:
    judged, cost, price, rate = choice.judgement, choice.cost, choice.price, choice.rate
    each = cost.per_good_part if cost and cost.total is not None else None
    return (
        choice.process,
        choice.title,
        judged.makeable,
        judged.meets_requirement,
        choice.process == recommended,
        _rounded(judged.deflection_mm, 3),
        judged.allowed_mm,
        _rounded(judged.utilisation, 4),
        _rounded(judged.mass_g, 2),
        cost.starts if cost else None,
        choice.moulds,
        None if each is None else shop.currency.round(each),
        price.price_each if price else None,
        price.net if price else None,
        None if choice.lead_time_min is None else round(choice.lead_time_min / 60, 2),
        at(choice.finish, shop.zone),
        _rounded(rate.per_day_sustained if rate else None, 2),
        _rounded(rate.good_per_day_sustained if rate else None, 2),
        _rounded(float(cost.people_hours) if cost else None, 2),
    )


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)
