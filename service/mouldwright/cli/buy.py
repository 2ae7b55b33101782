"""The buy command."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, heading, print_json, table
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import listed
from mouldwright.usecases.buying import Wanted, to_buy
from mouldwright.usecases.present import present
from mouldwright.wire.answers.buying import BuyListAnswer, PurchaseAnswer


def buy(
    scenario: str,
    *,
    part: str | None,
    process: str | None,
    quantity: int,
    by: str | None,
    now: str | None,
    as_json: bool,
) -> None:
    """Print what to buy, what proves it cheapest, and the other ways."""
    shop = open_shop(scenario)
    beside = None if part is None else Wanted(part=part, process=process, quantity=quantity)
    found = to_buy(shop, now=present(shop, now, clock), by=by, beside=beside)
    answer = BuyListAnswer.of(
        shop.currency,
        found.found,
        today=found.today,
        by=found.by,
        arrives=found.arrives,
        days=found.days,
        orders=found.orders,
    )
    if as_json:
        print_json(answer)
        return
    _show(console(), shop, answer, for_what=_for_what(shop, beside, answer.orders))


def _for_what(shop: Shop, beside: Wanted | None, orders: int) -> str:
    if beside is None:
        return f"{orders} open order{'' if orders == 1 else 's'}"
    sold = shop.sets.get(beside.part) or shop.part(beside.part)
    return f"{beside.quantity} x {sold.title}, the open orders served first"


def _show(out: Console, shop: Shop, answer: BuyListAnswer, *, for_what: str) -> None:
    money = answer.currency
    heading(out, f"To buy for {for_what}")
    if not answer.needs:
        out.print("Nothing: the stock covers it.")
        return
    out.print(
        table(
            [
                ("short of", "left"),
                ("needed", "right"),
                ("in stock", "right"),
                ("missing", "right"),
                ("", "left"),
            ],
            [
                (shop.material_title(n.material), n.needed, n.usable, n.missing, n.unit)
                for n in answer.needs
            ],
        )
    )
    for need in answer.unsold:
        out.print(f"No offer holds {need.material}: what it costs is unknown and in no total.")
    for material in answer.late:
        out.print(f"No offer brings {material} by {answer.by}: the soonest is taken.")
    _show_purchase(out, shop, money, answer.best)
    if answer.best.deliveries:
        proof = (
            "Proven: no purchase is cheaper."
            if answer.proven
            else f"Not proven: none can be under {money} {answer.cannot_be_under}."
        )
        out.print(f"{proof} Ordered on {answer.today}, all of it is there on {answer.arrives}.")
    rows = [
        (
            f"all from {one.title}",
            one.total,
            f"has no {', '.join(shop.material_title(key) for key in one.lacks)}"
            if one.lacks
            else "",
        )
        for one in answer.one_supplier
    ]
    if answer.second is not None:
        from_whom = listed([d.title for d in answer.second.deliveries])
        rows.insert(0, ("the next best", answer.second.total, f"from {from_whom}"))
    if rows:
        heading(out, "Other ways")
        out.print(table([("", "left"), (f"total {money}", "right"), ("", "left")], rows))


def _show_purchase(out: Console, shop: Shop, money: str, purchase: PurchaseAnswer) -> None:
    for delivery in purchase.deliveries:
        heading(out, f"From {delivery.title}, {delivery.lead_days} days")
        by = "" if delivery.order_by is None else f" Order it by {delivery.order_by}."
        out.print(f"Ordered today it is there on {delivery.arrives}.{by}")
        rows: list[tuple[str, int | None, str | None, str]] = [
            (
                ", ".join(
                    f"{held} {shop.material_title(key)}" for key, held in packs.holds.items()
                ),
                packs.packs,
                packs.each,
                packs.amount,
            )
            for packs in delivery.packs
        ]
        rows.append(("shipping", None, None, delivery.shipping))
        if any(packs.hazardous for packs in delivery.packs):
            rows.append(("hazard surcharge", None, None, delivery.hazard_surcharge))
        rows.append(("Delivery", None, None, delivery.total))
        columns = [("pack", "left"), ("packs", "right"), (f"each {money}", "right")]
        out.print(table([*columns, (f"amount {money}", "right")], rows, total=True))
    if len(purchase.deliveries) > 1:
        out.print(f"All deliveries: {money} {purchase.total}.")
    left = [f"{x.amount} {x.unit} {shop.material_title(x.material)}" for x in purchase.leftovers]
    if left:
        out.print(f"Left over: {', '.join(left)}.")
