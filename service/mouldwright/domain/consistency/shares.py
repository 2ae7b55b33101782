"""Rework, and operations done to a share of the parts: whether each says who goes through it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from mouldwright.domain.consistency.finding import Where, fault, routings, step, unknown
from mouldwright.domain.errors import Fault
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.process.rework import Rework
from mouldwright.domain.shop import Shop

# Work that fails oftener than so many times on its way is as good as never done: e^3 is 20.
LONGEST_BETWEEN = 3.0


def share_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of reworks and of operations that apply to a share."""
    for where, operations in routings(shop):
        for operation in operations:
            yield from _share(where, operation)
            yield from _failures(where, operation)
        for before, after in pairwise(operations):
            yield from _batch(where, before, after)
    for key, process in shop.processes.items():
        names = [rework.name for rework in process.reworks]
        for place, rework in enumerate(process.reworks):
            at: Where = ("processes", key, "reworks", f'["{rework.name}"]')
            if names.index(rework.name) != place:
                yield fault(
                    ("processes", key, "reworks", place, "name"),
                    rework.name,
                    "two reworks of one process have this name.",
                    "Give each a name of its own.",
                )
            yield from _rework(process, at, rework)
        yield from _holds(key, process)


def _share(where: Where, operation: Operation) -> Iterator[Fault]:
    if operation.is_for_all or operation.rework:
        return
    at = step(where, operation)
    if where[0] == "sets" or operation.per in ("order", "conditioning"):
        what = "work on a set" if where[0] == "sets" else f'work per "{operation.per}"'
        yield fault(
            (*at, "applies_to_share"),
            operation.applies_to_share,
            f"{what} cannot be done to a share of the parts.",
            'Write per = "part" or "pull" in the part\'s process, or leave the share out.',
        )
    if operation.material is not None:
        yield _mixes(at, operation)


def _failures(where: Where, operation: Operation) -> Iterator[Fault]:
    alone = operation.fixed_min + operation.each_min
    often = operation.failures_per_hour
    if float(often * alone) / 60 > LONGEST_BETWEEN:
        yield fault(
            (*step(where, operation), "failures_per_hour"),
            often,
            f"in {alone} min it would hardly ever come through.",
            "Write the failures in an hour: one print in 50 that fails, of 5 h each, is 0.004.",
        )


def _mixes(at: Where, operation: Operation) -> Fault:
    return fault(
        (*at, "material"),
        operation.material,
        "what every part is made of is mixed for every part.",
        "Mix it at an operation done to all, or leave material out and give its cost as used up.",
    )


def _batch(where: Where, before: Operation, after: Operation) -> Iterator[Fault]:
    together = before.per == after.per == "batch" and not after.after
    if together and before.applies_to_share != after.applies_to_share:
        yield fault(
            (*step(where, after), "applies_to_share"),
            after.applies_to_share,
            f"the batch formed at {before.name} is kept, and {after.name} is done to another share "
            "of it.",
            "Write the same share at both, or another operation between them.",
        )


def _rework(process: Process, at: Where, rework: Rework) -> Iterator[Fault]:
    known = [o.name for o in process.operations if not o.rework]
    if rework.found_at not in known:
        yield unknown((*at, "found_at"), rework.found_at, "operation", known)
    grains = {operation.per for operation in rework.operations}
    for operation in rework.operations:
        here: Where = (*at, "operations", f'["{operation.name}"]')
        if operation.per in ("order", "conditioning"):
            yield fault(
                (*here, "per"),
                operation.per,
                "rework is done to single parts.",
                'Write "part", "pull" or "batch".',
            )
        if process.has_pulls and "part" in grains and operation.per in ("pull", "batch"):
            yield fault(
                (*here, "per"),
                operation.per,
                "of one pull some parts may need it and others not, so a rework goes by parts "
                "throughout, or by pulls and batches throughout.",
                "Write the same for all of its operations.",
            )
        if not operation.is_for_all:
            yield fault(
                (*here, "applies_to_share"),
                operation.applies_to_share,
                "the rework says which share of the parts goes through it.",
                "Leave it out.",
            )
        if operation.good_rate_per == "pull":
            yield fault(
                (*here, "good_rate_per"),
                operation.good_rate_per,
                "parts are reworked one by one.",
                'Write "part", or leave it out.',
            )
        if operation.second_rate:
            yield fault(
                (*here, "second_rate"),
                operation.second_rate,
                "a part that is mended is good, and one that is not is scrap.",
                "Write it at the operation that finds seconds.",
            )
        if operation.material is not None:
            yield _mixes(here, operation)


def _holds(key: str, process: Process) -> Iterator[Fault]:
    by_name = {operation.name: operation for operation in process.operations}
    for number, hold in enumerate(process.holds):
        first, last = by_name.get(hold.first), by_name.get(hold.last)
        if first is None or last is None or max(first.round_number, last.round_number) > 1:
            continue
        alike = first.rework == last.rework and first.applies_to_share == last.applies_to_share
        if not alike or not (first.is_for_all or first.rework or first is last):
            yield fault(
                ("processes", key, "holds", number, "to"),
                hold.last,
                f"some parts go through {first.name if last.is_for_all else last.name} and others "
                "do not, so nothing says from when to when it is kept.",
                "Begin and end a hold at operations done to all parts, or within one rework.",
            )
