"""Rules within an order: everything done once, in order, in time, for long enough."""

from __future__ import annotations

from fractions import Fraction
from math import comb

from mouldwright.domain.part.mass import charge
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.planning.checking.ledger import Chain, Ledger, SetWork, Unit
from mouldwright.planning.plan import Task


def judge_chain(ledger: Ledger, chain: Chain) -> None:
    """Add every complaint about one order's parts."""
    _complete(ledger, chain)
    for place, operation in enumerate(chain.process.operations):
        for unit in _units_at(chain, operation):
            tasks = chain.tasks(operation.name, unit)
            for task in tasks:
                _follows(ledger, chain, place, unit, task)
    for operation in chain.process.operations:
        if operation.pot_life_until is not None:
            _pot_life(ledger, chain, operation)


def _units_at(chain: Chain, operation: Operation) -> list[Unit]:
    """Return the units an operation is done on, as its tasks list them."""
    return sorted({unit for name, unit in chain.done if name == operation.name})


def _complete(ledger: Ledger, chain: Chain) -> None:
    """Judge that every pull and part goes once through every operation, and that they suffice."""
    process = chain.process
    if not chain.units:
        ledger.complaints.append(f"{chain.name} has no tasks")
        return
    parts_known = any(operation.per == "part" for operation in process.operations)
    if process.has_pulls and parts_known:
        for pull in sorted(chain.pulls):
            count = len(chain.parts_of.get(pull, ()))
            if count != chain.cavities:
                ledger.complaints.append(
                    f"{chain.name}: pull {pull} gives {count} parts, not {chain.cavities}"
                )
    for operation in process.operations:
        if operation.per == "order":
            if (operation.name, ("order", 0)) not in chain.done:
                ledger.complaints.append(f"{chain.name}: {operation.name} is missing")
            continue
        for unit in chain.units:
            lacking = not chain.tasks(operation.name, unit)
            if (
                unit[0] == "pull"
                and parts_known
                and not lacking
                and (chain.task(operation.name, unit) is None)
            ):
                done = len(chain.tasks(operation.name, unit))
                lacking = done != len(chain.parts_of.get(unit[1], ()))
            if lacking:
                ledger.complaints.append(
                    f"{chain.name}: {operation.name} is missing for {unit[0]} {unit[1]}"
                )
    _enough(ledger, chain)


def _enough(ledger: Ledger, chain: Chain) -> None:
    """Judge that the starts give enough good parts as often as the shop asks."""
    if chain.order.starts is not None:
        if chain.starts < chain.order.starts:
            ledger.complaints.append(
                f"{chain.name}: {chain.starts} parts begun and {chain.order.starts} asked"
            )
        return
    rate, by_pull = Fraction(1), Fraction(1)
    for operation in chain.process.operations:
        if operation.good_rate_per == "pull" and chain.process.has_pulls:
            by_pull *= Fraction(operation.good_rate)
        else:
            rate *= Fraction(operation.good_rate)
    level = ledger.shop.service_level
    if level is None:
        enough = chain.starts * rate * by_pull >= chain.wanted
    else:
        pulls = len(chain.pulls) if chain.process.has_pulls else chain.starts
        cavities = chain.cavities if chain.process.has_pulls else 1
        reached = _chance(chain.wanted, pulls, cavities, float(rate), float(by_pull))
        enough = reached >= float(level) - 1e-9
    if not enough or chain.starts < chain.wanted:
        ledger.complaints.append(
            f"{chain.name}: {chain.starts} parts begun are too few for {chain.wanted} good ones"
        )


def _chance(wanted: int, pulls: int, cavities: int, rate: float, by_pull: float) -> float:
    """Return the chance of enough good parts, lost pulls first, then lost parts."""
    if rate == 1 and by_pull == 1:
        return float(pulls * cavities >= wanted)
    whole = 0.0
    for kept in range(pulls + 1):
        if by_pull == 1 and kept < pulls:
            continue
        weight = comb(pulls, kept) * by_pull**kept * (1 - by_pull) ** (pulls - kept)
        parts = kept * cavities
        whole += weight * sum(
            comb(parts, good) * rate**good * (1 - rate) ** (parts - good)
            for good in range(wanted, parts + 1)
        )
    return whole


def _before(process: Process, place: int) -> list[str]:
    operation = process.operations[place]
    if operation.after:
        return list(operation.after)
    return [process.operations[place - 1].name] if place else []


def _ready(chain: Chain, place: int, unit: Unit) -> int | None:
    """Return when a unit is ready for an operation; None where nothing goes before it."""
    ends: list[int] = []
    for name in _before(chain.process, place):
        units = chain.units if unit[0] == "order" else [unit]
        ends.extend(task.end for one in units for task in chain.tasks(name, one))
    return max(ends, default=None)


def _follows(ledger: Ledger, chain: Chain, place: int, unit: Unit, task: Task) -> None:
    """Judge a task against what goes before it, and its length."""
    operation = chain.process.operations[place]
    ready = _ready(chain, place, unit)
    running = task in ledger.running
    release = chain.order.release
    if release is not None and task.start * 60 < release.timestamp() and not running:
        ledger.complaints.append(f"{ledger.what(task)} starts before the order's release")
    if ready is not None:
        wait = task.start - ready
        if wait < operation.wait_min:
            ledger.complaints.append(
                f"{ledger.what(task)} starts {operation.wait_min - wait} min before {unit[0]} "
                f"{unit[1]} of {chain.name} is ready"
            )
        if operation.wait_max_min is not None and wait > operation.wait_max_min:
            ledger.complaints.append(
                f"{ledger.what(task)} keeps {unit[0]} {unit[1]} of {chain.name} waiting {wait} min "
                f"and {operation.wait_max_min} are allowed"
            )
        queues = operation.station is not None and not _is_held(chain.process, place)
        if not operation.attended and not queues:
            _starts_at_once(ledger, chain, place, task)


def _starts_at_once(ledger: Ledger, chain: Chain, place: int, task: Task) -> None:
    """Judge that an unattended step starts exactly when the last of its members is ready."""
    operation = chain.process.operations[place]
    readies: list[int | None] = []
    for one, pulls, parts in ledger.chains_of(task):
        units: list[Unit] = [("part", p) for p in parts] or [("pull", p) for p in pulls]
        readies.extend(_ready(one, place, unit) for unit in units or [("order", 0)])
    known = [ready for ready in readies if ready is not None]
    if known and task.start != max(known) + operation.wait_min:
        ledger.complaints.append(
            f"{ledger.what(task)} is unattended and does not start as its predecessor ends"
        )


def _is_held(process: Process, place: int) -> bool:
    """Return whether an operation's station is already held when it starts."""
    station = process.operations[place].station
    return any(
        hold.resource == station and process.index(hold.first) < place <= process.index(hold.last)
        for hold in process.holds
    )


def _pot_life(ledger: Ledger, chain: Chain, mixing: Operation) -> None:
    material = ledger.shop.materials.get(mixing.material or "")
    if material is None or material.mix is None:
        return
    for unit in chain.units:
        for mixed in chain.tasks(mixing.name, unit):
            for used in chain.tasks(mixing.pot_life_until or "", unit):
                over = used.end - mixed.end - material.mix.pot_life_min
                if over > 0:
                    ledger.complaints.append(
                        f"{ledger.what(used)} ends {over} min after the pot life of its mix"
                    )


def judge_batches(ledger: Ledger) -> None:
    """Add every complaint about what is batched: limits, mixes, kept batches."""
    grams: dict[tuple[str, str], dict[str, float]] = {}
    for task in ledger.plan.tasks:
        operation = ledger.operation(task)
        if operation is None or operation.per != "batch" or task.process in ledger.shop.sets:
            continue
        process = ledger.shop.processes[task.process]
        pulls = parts = 0
        weight = mixed = 0.0
        for chain, pull_ids, part_ids in ledger.chains_of(task):
            pulls += len(pull_ids)
            count = len(part_ids) or len(pull_ids) * chain.cavities
            parts += count
            key = (chain.part, chain.process.key)
            if key not in grams and process.structure is not None:
                made = charge(ledger.shop, ledger.shop.parts[chain.part], process)
                grams[key] = {c.material: c.loaded_g for c in made.constituents}
            weight += count * sum(grams.get(key, {}).values())
            mixed += count * grams.get(key, {}).get(operation.material or "", 0.0)
        _limits(ledger, task, operation, pulls, parts, weight)
        if operation.material is not None:
            _mix(ledger, task, operation, mixed)
        _kept(ledger, task, process)


def _limits(
    ledger: Ledger, task: Task, operation: Operation, pulls: int, parts: int, weight: float
) -> None:
    for what, count, most in (
        ("pulls", pulls, operation.batch_pulls),
        ("parts", parts, operation.batch_parts),
        ("g", weight, operation.batch_g),
    ):
        if most is not None and count > float(most) + 1e-6:
            ledger.complaints.append(
                f"{ledger.what(task)} takes {count:g} {what} of {most} at most"
            )


def _mix(ledger: Ledger, task: Task, operation: Operation, needed: float) -> None:
    material = ledger.shop.materials.get(operation.material or "")
    if material is None or material.mix is None:
        return
    mix = material.mix
    total = needed * (1 + float(mix.lost_share)) + float(mix.lost_g)
    if total > float(mix.most_mixed_g) + 1e-6:
        ledger.complaints.append(
            f"{ledger.what(task)} mixes {total:.1f} g and {mix.most_mixed_g} g is the most"
        )


def _kept(ledger: Ledger, task: Task, process: Process) -> None:
    """Judge that a batch stays together over consecutive batch operations."""
    place = process.index(task.operation)
    follows = place > 0 and process.operations[place - 1].per == "batch"
    if not follows or process.operations[place].after:
        return
    before = process.operations[place - 1].name
    earlier = {
        id(found)
        for chain, pulls, parts in ledger.chains_of(task)
        for unit in ([("part", p) for p in parts] or [("pull", p) for p in pulls])
        for found in chain.tasks(before, unit)
    }
    if len(earlier) > 1:
        ledger.complaints.append(f"{ledger.what(task)} joins what came from several batches")


def judge_set(ledger: Ledger, work: SetWork) -> None:
    """Add every complaint about the work on an order's sets."""
    sold = ledger.shop.sets[work.order.part]
    number = work.order.number
    for operation in sold.operations:
        tasks = [task for task in work.tasks if task.operation == operation.name]
        wanted = work.order.quantity if operation.per == "part" else 1
        if len(tasks) != wanted:
            ledger.complaints.append(
                f"order {number}: {operation.name} of the sets is done {len(tasks)} times, "
                f"not {wanted}"
            )
        members = work.order.quantity if operation.per == "order" else 1
        for task in tasks:
            check_length(ledger, task, operation, members)
    ends = [task.end for chain in work.chains for task in set(chain.done.values())]
    first = min((task.start for task in work.tasks), default=None)
    if first is not None and ends and first < _first_whole_set(work):
        ledger.complaints.append(f"order {number}: work on the sets begins before one is whole")
    for earlier, later in zip(sold.operations, sold.operations[1:], strict=False):
        before = [task.end for task in work.tasks if task.operation == earlier.name]
        after = [task.start for task in work.tasks if task.operation == later.name]
        if before and after and min(after) < min(before):
            ledger.complaints.append(f"order {number}: {later.name} comes before {earlier.name}")


def _first_whole_set(work: SetWork) -> int:
    """Return when the first set's parts are all there, at the earliest."""
    moments = []
    for chain in work.chains:
        last = chain.process.operations[-1].name
        ends = sorted(
            max((task.end for task in chain.tasks(last, unit)), default=0) for unit in chain.units
        )
        needed = -(-chain.wanted // work.order.quantity)
        per_unit = chain.cavities if chain.process.has_pulls else 1
        place = min(-(-needed // per_unit), len(ends)) - 1
        if ends:
            moments.append(ends[place])
    return max(moments, default=0)


def check_length(ledger: Ledger, task: Task, operation: Operation, members: int) -> None:
    """Complain where a task's worked minutes are not what the operation takes."""
    exact = operation.fixed_min + operation.each_min * members
    whole = int(-(-exact // 1))
    worked = sum(end - start for start, end in task.spans)
    if worked != whole and task not in ledger.running:
        ledger.complaints.append(f"{ledger.what(task)} lasts {worked} min, not {whole}")
