"""Post-cures: whether what is heated stands the heat."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.domain.consistency.finding import fault, routings, step, warning
from mouldwright.domain.errors import Fault
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import materials_of


def heat_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of post-cures that a part or its material does not stand.

    Moulds that do not stand one are left out of its plans, with a warning.
    """
    for where, operations in routings(shop):
        process = shop.processes.get(str(where[1])) if where[0] == "processes" else None
        for operation in operations:
            if operation.heat is not None and process is not None:
                at = (*step(where, operation), "heat", "hold_c")
                for problem, remedy in _too_hot(shop, process, operation):
                    yield fault(at, operation.heat.hold_c, problem, remedy)
    for key, family in shop.moulds.items():
        process = shop.processes.get(family.process)
        hottest = process.hottest_in_mould_c if process else None
        if family.greatest_c is not None and not family.stands(hottest):
            yield warning(
                ("moulds", key, "greatest_c"),
                family.greatest_c,
                f"{family.process} heats its moulds to {hottest:f} °C, so these serve no order.",
                "Take the part out before, or make moulds that stand it.",
            )


def _too_hot(shop: Shop, process: Process, operation: Operation) -> Iterator[tuple[str, str]]:
    assert operation.heat is not None  # asked by the caller
    hold_c = operation.heat.hold_c
    if process.greatest_c is not None and hold_c > process.greatest_c:
        yield (
            f"parts of {process.key} stand {process.greatest_c:f} °C.",
            f"Write at most {process.greatest_c:f}.",
        )
    for key in materials_of(process.structure):
        material = shop.materials.get(key)
        limit = material.greatest_c if material else None
        if limit is not None and hold_c > limit:
            yield f"{key} stands {limit:f} °C.", f"Write at most {limit:f}, or another material."
