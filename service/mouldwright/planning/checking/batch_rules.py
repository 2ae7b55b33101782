"""Rules about batches: their limits, what they mix, and that they stay together."""

from __future__ import annotations

from decimal import Decimal

from mouldwright.domain.part.mass import charge
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.planning.checking.chain import Chain
from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.plan import Task

# Grams are floats here; a limit met to a millionth is met.
_NEAR_G = 1e-6


class _Loads:
    """Grams of each material that one part of a chain takes, worked out once."""

    def __init__(self, ledger: Ledger) -> None:
        self._ledger = ledger
        self._known: dict[tuple[str, str], dict[str, float]] = {}

    def of(self, chain: Chain) -> dict[str, float]:
        key = (chain.part, chain.process.key)
        if key not in self._known:
            grams: dict[str, float] = {}
            part = self._ledger.shop.parts.get(chain.part)
            if chain.process.structure is not None and part is not None:
                made = charge(self._ledger.shop, part, chain.process)
                for each in made.constituents:
                    grams[each.material] = grams.get(each.material, 0.0) + each.loaded_g
            self._known[key] = grams
        return self._known[key]


def judge_batches(ledger: Ledger) -> None:
    """Add every complaint about what is batched or mixed."""
    loads = _Loads(ledger)
    for task in ledger.plan.tasks:
        operation = ledger.operation(task)
        if operation is None or ledger.is_history(task):
            continue
        shares = list(ledger.chains_of(task))
        if not shares:
            continue
        process = shares[0][0].process
        material = ledger.shop.materials.get(operation.material or "")
        needed = 0.0
        if material is not None and material.mix is not None:
            # Poured in stages, each mixing makes an even share.
            stages = _stages(process, material.key)
            needed = sum(
                chain.members(pulls, parts) * loads.of(chain).get(material.key, 0.0)
                for chain, pulls, parts in shares
            )
            _mix(ledger, task, material.key, needed / stages)
        if operation.per == "batch":
            place = process.index(task.operation)
            if place and process.operations[place - 1].per == "batch":
                _kept(ledger, task, process.operations[place - 1].name)
            else:
                _limits(ledger, task, operation, loads)


def _stages(process: Process, material: str) -> int:
    return sum(1 for operation in process.operations if operation.material == material)


def _limits(ledger: Ledger, task: Task, operation: Operation, loads: _Loads) -> None:
    """Judge the limits stated where the batch is formed: pulls, parts and mass.

    The mass is that of the mixes the batch makes, where it makes any, with what is lost of
    them; else that of what its parts are made of.
    """
    pulls = parts = 0
    whole = mixed = lost = 0.0
    for chain, pull_ids, part_ids in ledger.chains_of(task):
        members = chain.members(pull_ids, part_ids)
        pulls += len(pull_ids) or len(part_ids)
        parts += members
        grams = loads.of(chain)
        whole += members * sum(grams.values())
        lost = 0.0
        for key in _mixed(ledger, chain.process, operation):
            mix = ledger.shop.materials[key].mix
            assert mix is not None  # those that are mixed
            each = grams.get(key, 0.0) / _stages(chain.process, key)
            mixed += members * each * (1 + float(mix.lost_share))
            lost += float(mix.lost_g)
    grams_in = mixed + lost if mixed else whole
    limits: tuple[tuple[str, float, int | Decimal | None], ...] = (
        ("pulls", pulls, operation.batch_pulls),
        ("parts", parts, operation.batch_parts),
        ("g", grams_in, operation.batch_g),
    )
    for what, count, most in limits:
        if most is not None and count > float(most) + _NEAR_G:
            ledger.complain(task, f"takes {count:g} {what} of {most} at most")


def _mixed(ledger: Ledger, process: Process, first: Operation) -> list[str]:
    """Return the material of each mixing in the run of batch operations that begins there."""
    found = []
    for operation in process.operations[process.index(first.name) :]:
        if operation.per != "batch":
            break
        material = ledger.shop.materials.get(operation.material or "")
        if material is not None and material.mix is not None:
            found.append(material.key)
    return found


def _mix(ledger: Ledger, task: Task, key: str, needed: float) -> None:
    """Judge the grams mixed: need, losses, the least that is mixed and the most."""
    mix = ledger.shop.materials[key].mix
    assert mix is not None  # asked by the caller
    total = needed * (1 + float(mix.lost_share)) + float(mix.lost_g)
    if total > float(mix.most_mixed_g) + _NEAR_G:
        ledger.complain(task, f"mixes {total:.1f} g and {mix.most_mixed_g} g is the most")
    mixed = max(total, float(mix.least_mixed_g))
    if task.mixed_g is None or abs(task.mixed_g - mixed) > 1e-3:
        ledger.complain(task, f"is told to mix {task.mixed_g} g and takes {mixed:.3f} g")


def _kept(ledger: Ledger, task: Task, before: str) -> None:
    """Judge that a batch stays whole over consecutive batch operations."""
    earlier = {
        id(found): found
        for chain, pulls, parts in ledger.chains_of(task)
        for unit in chain.units_of(pulls, parts)
        for found in chain.tasks(before, unit)
    }
    if len(earlier) > 1:
        ledger.complain(task, "joins what came from several batches")
    for found in earlier.values():
        left = _listed(found) - _listed(task)
        if left - _gone(ledger, task) and not ledger.is_history(found):
            ledger.complain(task, f"leaves behind some of the batch of {before}")


def _gone(ledger: Ledger, task: Task) -> set[tuple[str, int]]:
    """Return what of the orders of a task went no further before it began."""
    return {
        (member.order, number)
        for member in task.members
        for (_, number), since in ledger.told.gone.get(member.order, {}).items()
        if since <= task.start
    }


def _listed(task: Task) -> set[tuple[str, int]]:
    return {(m.order, unit) for m in task.members for unit in (m.pulls or m.parts)}
