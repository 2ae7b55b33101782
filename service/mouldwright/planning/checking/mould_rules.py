"""Rules about moulds: one pull at a time, conditioned when due, never past their life."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise

from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.planning.checking.ledger import Chain, Ledger
from mouldwright.planning.plan import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One stretch of a mould's time: a pull, or upkeep where ``pull`` is None."""

    start: int
    end: int
    what: str
    pull: int | None = None


def judge_moulds(ledger: Ledger) -> None:
    """Add every complaint about moulds."""
    uses: dict[str, list[Use]] = defaultdict(list)
    for chain in ledger.chains.values():
        if chain.process.uses_mould:
            for pull in sorted(chain.pulls):
                _pull(ledger, chain, pull, uses)
        for task in set(chain.done.values()):
            operation = ledger.operation(task)
            if operation and operation.per in ("batch", "part", "order") and task.mould:
                ledger.complaints.append(f"{ledger.what(task)} names a mould and is no pull task")
    for task in ledger.upkeep:
        if task.mould is None:
            ledger.complaints.append(f"{ledger.what(task)} has no members and no mould")
            continue
        uses[task.mould].append(Use(start=task.start, end=task.end, what=ledger.what(task)))
    for name, spent in uses.items():
        _one_mould(ledger, name, sorted(spent, key=lambda use: (use.start, use.end)))


def _pull(ledger: Ledger, chain: Chain, pull: int, uses: dict[str, list[Use]]) -> None:
    """Note the time one pull keeps its mould, and judge that it is one mould throughout."""
    process = chain.process
    named = {
        task.mould
        for operation in process.operations
        if operation.per == "pull"
        for task in chain.tasks(operation.name, ("pull", pull))
    }
    where = f"{chain.name}: pull {pull}"
    if len(named) > 1 or None in named:
        ledger.complaints.append(
            f"{where} is not on one mould throughout: {sorted(map(str, named))}"
        )
        return
    for hold in process.holds:
        if hold.resource != "mould" or not named:
            continue
        first = chain.tasks(hold.first, ("pull", pull))
        last = chain.tasks(hold.last, ("pull", pull))
        if not first or not last:
            continue
        mould = str(next(iter(named)))
        uses[mould].append(
            Use(
                start=min(task.start for task in first),
                end=max(task.end for task in last),
                what=where,
                pull=pull,
            )
        )
        family = _family(ledger, mould)
        if family is None or (family.part, family.process) != (chain.part, process.key):
            ledger.complaints.append(f"{where} is on {mould}, which does not serve it")


def _family(ledger: Ledger, mould: str) -> MouldFamily | None:
    key, _, _ = mould.rpartition(" ")
    return ledger.shop.moulds.get(key)


def _one_mould(ledger: Ledger, name: str, uses: list[Use]) -> None:
    for earlier, later in pairwise(uses):
        if later.start < earlier.end:
            ledger.complaints.append(f"{name} is in two places: {earlier.what} and {later.what}")
    family = _family(ledger, name)
    if family is None:
        ledger.complaints.append(f"there is no mould {name}")
        return
    mould = next((m for m in family.moulds if family.name(m) == name), None)
    if mould is None:
        mould = Mould(number=name.rpartition(" ")[2])
        _is_made(ledger, name, family, uses)
    pulls = [use for use in uses if use.pull is not None]
    left = family.pulls_left(mould)
    if left is not None and len(pulls) > left:
        ledger.complaints.append(f"{name} takes {len(pulls)} pulls and has {left} left")
    _conditioned(ledger, name, family, mould)


def _is_made(ledger: Ledger, name: str, family: MouldFamily, uses: list[Use]) -> None:
    """Judge that a mould which is not at hand is built before its first pull."""
    built = [
        task for task in ledger.upkeep if task.mould == name and task.process == family.made_by
    ]
    process = ledger.shop.processes.get(family.made_by or "")
    if process is None or {t.operation for t in built} != {o.name for o in process.operations}:
        ledger.complaints.append(f"{name} is not at hand and is not built")
        return
    first = min((use.start for use in uses if use.pull is not None), default=None)
    if first is not None and first < max(task.end for task in built):
        ledger.complaints.append(f"{name} is used before it is built")
    by_name = {task.operation: task for task in built}
    for earlier, later in pairwise(process.operations):
        before, after = by_name[earlier.name], by_name[later.name]
        wait = after.start - before.end
        if wait < later.wait_min or (later.wait_max_min is not None and wait > later.wait_max_min):
            ledger.complaints.append(f"{ledger.what(after)} does not follow {earlier.name} in time")


def _conditioned(ledger: Ledger, name: str, family: MouldFamily, mould: Mould) -> None:
    """Judge that conditioning comes when due, before the next pull, and never after the last."""
    every = family.conditioned_every_pulls
    process = ledger.shop.processes[family.process]
    if process.conditioning is None:
        return
    events: list[tuple[int, int, Task | None]] = []
    for chain in ledger.chains.values():
        if (chain.part, chain.process.key) != (family.part, family.process):
            continue
        hold = next((h for h in process.holds if h.resource == "mould"), None)
        for pull in chain.pulls if hold else ():
            tasks = chain.tasks(hold.first, ("pull", pull)) if hold else []
            named = [
                t.mould
                for o in process.operations
                if o.per == "pull"
                for t in chain.tasks(o.name, ("pull", pull))
            ]
            if tasks and name in named:
                events.append((min(t.start for t in tasks), 1, None))
    for task in ledger.upkeep:
        done = (task.mould, task.operation, task.process)
        if done == (name, process.conditioning.name, family.process):
            events.append((task.start, 0, task))
    events.sort(key=lambda event: event[:2])
    count = mould.pulls_since_conditioning
    for at, _, upkeep in events:
        if upkeep is not None:
            count = 0
            continue
        if every is not None and count >= every:
            ledger.complaints.append(
                f"{name} is due for conditioning before its pull at {ledger.at(at)}"
            )
        count += 1
    if events and events[-1][2] is not None:
        ledger.complaints.append(f"{name} is conditioned after its last pull")
