"""Orders and sets: whether what is ordered exists and can be made as said."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from mouldwright.domain.consistency.finding import Where, fault, unknown, warning
from mouldwright.domain.errors import Fault
from mouldwright.domain.key_path import entries
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop


def order_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of sets and orders."""
    for key, part_set in shop.sets.items():
        if key in shop.parts:
            yield fault(
                ("sets", key),
                None,
                "a part has the same key, so an order could not say which it means.",
                "Give the set another key.",
            )
        for place, part in enumerate(part_set.parts):
            at: Where = ("sets", key, "parts", place)
            yield from _made(shop, at, part.part, part.process, kind="part", known=shop.parts)
    shown = entries([order.number for order in shop.orders])
    for order, name in zip(shop.orders, shown, strict=True):
        at = ("orders", name)
        if isinstance(name, int):
            yield fault(
                (*at, "number"),
                order.number,
                "two orders have this number.",
                "Give each a number of its own.",
            )
        yield from _order(shop, at, order)
        yield from _dates(shop, at, order)


def _order(shop: Shop, at: Where, order: Order) -> Iterator[Fault]:
    if order.part not in shop.sets:
        yield from _made(
            shop, at, order.part, order.process, kind="part or set", known=(*shop.parts, *shop.sets)
        )
    elif order.process is not None and order.part not in shop.parts:
        yield fault(
            (*at, "process"),
            order.process,
            "the parts of a set name their own processes.",
            "Leave it out.",
        )


def _made(
    shop: Shop, at: Where, part_key: str, process: str | None, *, kind: str, known: Iterable[str]
) -> Iterator[Fault]:
    part = shop.parts.get(part_key)
    if part is None:
        yield unknown((*at, "part"), part_key, kind, known)
        if process is not None and process not in shop.processes:
            yield unknown((*at, "process"), process, "process", shop.processes)
        return
    if process is None:
        yield fault(
            (*at, "process"),
            None,
            f"{part.title} can be made in {len(part.made_by)} ways and this says none.",
            f"Add process: one of {', '.join(part.made_by) or 'those in its made_by'}.",
        )
    elif process not in shop.processes:
        yield unknown((*at, "process"), process, "process", shop.processes)
    elif process not in part.made_by:
        yield fault(
            (*at, "process"),
            process,
            f"{part.title} is not made by {shop.processes[process].title}.",
            f"Add {process} to parts.{part.key}.made_by, or write one of: "
            f"{', '.join(part.made_by) or 'none yet'}.",
        )


def _dates(shop: Shop, at: Where, order: Order) -> Iterator[Fault]:
    if order.due is None:
        return
    if shop.start is not None and order.due < shop.start:
        yield warning(
            (*at, "due"),
            order.due.isoformat(),
            f"it was due before the start, {shop.start.isoformat()}.",
            "It is planned as late, at the earliest it can be.",
        )
    if order.release is not None and order.release >= order.due:
        yield warning(
            (*at, "release"),
            order.release.isoformat(),
            "work may only start once it is due.",
            "It is planned as late; write an earlier release or a later due date.",
        )
