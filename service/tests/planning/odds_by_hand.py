"""Small plans whose odds can be worked out: bench hands that are always there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

import builders as build
import numpy as np

from mouldwright.domain.estimate import OddsPolicy, Range
from mouldwright.domain.order import PartSet
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Person, Shop
from mouldwright.planning.odds.simulate import runs_of
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 00:00")


def spread(least: float, most: float) -> Range:
    return Range(least=Decimal(str(least)), most=Decimal(str(most)))


def always(*keys: str) -> list[Person]:
    """Return people who are in day and night."""
    return [build.person(key, weekly=build.ALWAYS) for key in keys]


def bench(
    operations: Sequence[Operation],
    quantity: int = 1,
    *,
    odds: OddsPolicy | None = None,
    people: Iterable[Person] | None = None,
    sets: Iterable[PartSet] = (),
    **more: Any,
) -> Shop:
    """Return a shop of one person with one order by those operations."""
    process_more = {k: more.pop(k) for k in ("holds", "structure") if k in more}
    order_more = {k: more.pop(k) for k in ("starts", "due") if k in more}
    return build.shop(
        build.process(*operations, **process_more),
        [build.order("1", quantity, **order_more)],
        people=always("ana") if people is None else people,
        sets=sets,
        odds=odds or OddsPolicy(),
        **more,
    )


def planned(shop: Shop, now: int = NOW) -> Plan:
    return make_plan(shop, now=now, seconds=0.0, work_limit=20)


def finishes(shop: Shop, *, runs: int = 2000, now: int = NOW, seed: int = 1) -> np.ndarray:
    """Return the finish of the one order in each run, in minutes from now."""
    found = runs_of(shop, planned(shop, now), runs=runs, seed=seed)
    assert found is not None
    return found.finishes["1"]
