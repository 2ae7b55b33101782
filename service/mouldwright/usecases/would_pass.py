"""What would make a failing process pass, with what that does to mass, cost and lead time."""

from __future__ import annotations

from dataclasses import replace

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.errors import CannotBeMade, HardLimit
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.lead_time import lead_time
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.would_pass.find import WouldPass, shop_with, would_pass


def what_would_pass(
    shop: Shop,
    part: Part,
    process: Process,
    quantity: int,
    *,
    now: int,
    judged: Judgement | None = None,
) -> tuple[WouldPass, ...]:
    """Return the least change of each lever that makes a process pass, cheapest first.

    Args:
        shop: Where it is made.
        part: What fails.
        process: By which it fails.
        quantity: Good parts, for cost and lead time.
        now: Minutes since the epoch, from which lead times count.
        judged: How it fails; None judges it.

    Raises:
        NotFound: if the structure names a material that is not there.
        InvalidInput: if a material lacks what its structure needs.
    """
    judged = judge(shop, part, process) if judged is None else judged
    found = would_pass(shop, part, process, judged, quantity)
    if not found:
        return ()
    before = _lead(shop, part, process, judged, quantity, now) if judged.makeable else None
    return tuple(
        replace(
            each,
            lead_min=_more(
                before,
                _lead(
                    shop_with(shop, each.change),
                    each.change.part,
                    each.change.process,
                    each.judgement,
                    quantity,
                    now,
                ),
            ),
        )
        for each in found
    )


def _more(before: int | None, after: int | None) -> int | None:
    return None if before is None or after is None else after - before


def _lead(
    shop: Shop, part: Part, process: Process, judged: Judgement, quantity: int, now: int
) -> int | None:
    """Return the minute all are ready by the rate alone, None where none can be said."""
    try:
        starts = cost_model(shop, part, process, charge=judged.charge).starts(quantity).starts
        return lead_time(shop, part, process, starts, now=now, charge=judged.charge).finish
    except (CannotBeMade, HardLimit):
        return None
