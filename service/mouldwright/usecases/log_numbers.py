"""The pulls and parts that an entry names: read from text, and whether they can be there."""

from __future__ import annotations

import re
from collections.abc import Iterator

from mouldwright.domain.costing.scrap import starts_for
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.order import Order
from mouldwright.domain.record.log import LogEntry, LoggedMember
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan

# A range longer than this is a slip of the hand.
_MOST_NUMBERED = 10_000


def numbers_in(text: str) -> list[int]:
    """Return the pulls or parts a text names: "3", "3,4", "3 4 5", "1-3"; each once, as named.

    Raises:
        ValueError: if it is anything else, a range runs backwards, or it names over 10,000.
    """
    found: dict[int, None] = {}
    for piece in re.sub(r"\s*-\s*", "-", text.replace(",", " ").strip()).split():
        if not re.fullmatch(r"[0-9]{1,9}(-[0-9]{1,9})?", piece):
            raise ValueError(f"{piece!r} is neither a number nor a range")
        first, _, last = piece.partition("-")
        numbers = range(int(first), int(last or first) + 1)
        if not 0 < len(numbers) <= _MOST_NUMBERED - len(found):
            raise ValueError(f"{piece!r} runs backwards or names too many")
        found.update(dict.fromkeys(numbers))
    return list(found)


def number_faults(shop: Shop, plan: Plan | None, entry: LogEntry) -> Iterator[Fault]:
    """Yield a fault for every pull or part beyond what is begun of its order."""
    orders = {order.number: order for order in shop.orders}
    lists = (
        ("members", entry.members),
        ("task.members", entry.task.members if entry.task is not None else ()),
    )
    for where, members in lists:
        for place, member in enumerate(members, start=1):
            order = orders.get(member.order)
            if order is None:
                continue
            most = _begun(shop, plan, order)
            if most and max((*member.pulls, *member.parts), default=0) > most:
                # The log may know of more; a long one is looked through only then.
                most = max(most, _known(shop, order))
            for kind, numbers in (("pulls", member.pulls), ("parts", member.parts)):
                beyond = [number for number in numbers if not 1 <= number <= most]
                if beyond and most:
                    yield Fault(
                        path=f"{where}[{place}].{kind}",
                        value=str(beyond[0]),
                        problem=f"order {order.number} has no more than {most}.",
                        remedy=f"Write numbers from 1 to {most}, as the plan has them.",
                    )


def _begun(shop: Shop, plan: Plan | None, order: Order) -> int:
    """Return the parts that are begun for an order; 0 where that cannot be told.

    By the plan that has it, else as many as it needs.
    """
    outcomes = plan.orders if plan is not None else ()
    planned = next((o.starts for o in outcomes if o.number == order.number), None)
    return _needed(shop, order) if planned is None else planned


def _needed(shop: Shop, order: Order) -> int:
    if order.starts is not None:
        return order.starts
    if order.part in shop.sets:
        pieces = shop.sets[order.part].parts
        made = [(p.part, p.process, order.quantity * p.count) for p in pieces]
    else:
        made = [(order.part, order.process or "", order.quantity)]
    found = 0
    for part, key, quantity in made:
        if key not in shop.processes:
            return 0
        families = shop.families(part, key)
        cavities = families[0].cavities if families else 1
        lost = families[0].loss_rate if families else 0
        process = shop.processes[key]
        try:
            needed = starts_for(quantity, process, cavities, shop.service_level, loss_rate=lost)
        except InvalidInput:
            return 0
        found += needed.starts
    return found


def _known(shop: Shop, order: Order) -> int:
    """Return the highest number of an order that the log knows already."""
    found: list[LoggedMember] = []
    for entry in shop.log:
        found += entry.members
        found += entry.task.members if entry.task is not None else ()
    return max(
        (n for m in found if m.order == order.number for n in (*m.pulls, *m.parts)), default=0
    )
