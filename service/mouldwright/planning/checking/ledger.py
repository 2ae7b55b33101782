"""A plan laid out for judging: which task did which operation on which pull or part."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from mouldwright.domain.hours.opening import local
from mouldwright.domain.order import Order
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task

# ("pull" or "part", its id within the order).
Unit = tuple[str, int]


@dataclass(slots=True, kw_only=True)
class Chain:
    """One order's parts by one process, and the tasks that made them.

    Attributes:
        wanted: Good parts wanted of this chain.
        pulls: Pull ids seen.
        parts_of: Part ids by pull; pull 0 holds the parts of a process without pulls.
        done: Task by operation and unit; an operation per order is under ("order", 0).
    """

    order: Order
    part: str
    process: Process
    wanted: int
    cavities: int
    pulls: set[int] = field(default_factory=set)
    parts_of: dict[int, set[int]] = field(default_factory=lambda: defaultdict(set))
    pull_by_part: dict[int, int] = field(default_factory=dict)
    done: dict[tuple[str, Unit], Task] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """Return how complaints name it."""
        return f"order {self.order.number} ({self.part} by {self.process.key})"

    @property
    def starts(self) -> int:
        """Return the parts begun."""
        if self.process.has_pulls:
            return len(self.pulls) * self.cavities
        return len(self.parts_of[0])

    @property
    def units(self) -> list[Unit]:
        """Return its pulls, or its parts where the process has no pulls."""
        if self.process.has_pulls:
            return [("pull", pull) for pull in sorted(self.pulls)]
        return [("part", part) for part in sorted(self.parts_of[0])]

    def task(self, operation: str, unit: Unit) -> Task | None:
        """Return the task that did an operation for a pull or part, where exactly one could.

        A pull stands for all its parts only through ``ends``; a part stands for its pull.
        """
        found = self.done.get((operation, ("order", 0))) or self.done.get((operation, unit))
        if found is None and unit[0] == "part":
            pull = self.pull_by_part.get(unit[1])
            if pull is not None:
                found = self.done.get((operation, ("pull", pull)))
        return found

    def tasks(self, operation: str, unit: Unit) -> list[Task]:
        """Return every task that did an operation for a unit: for a pull, those of its parts."""
        one = self.task(operation, unit)
        if one is not None:
            return [one]
        if unit[0] == "pull":
            parts = [self.done.get((operation, ("part", p))) for p in self.parts_of[unit[1]]]
            return [task for task in parts if task is not None]
        return []


@dataclass(slots=True, kw_only=True)
class SetWork:
    """An order for sets: its parts' chains and the tasks on the sets themselves."""

    order: Order
    chains: list[Chain]
    tasks: list[Task] = field(default_factory=list)


@dataclass(slots=True, kw_only=True)
class Ledger:
    """The whole plan laid out, with what could not be.

    Attributes:
        running: Tasks under way, which are as they are.
        owners: Part by (order, "pull" or "part", id), as single tasks name it.
        upkeep: Conditioning and mould building, which have no members.
    """

    shop: Shop
    plan: Plan
    running: frozenset[Task] = frozenset()
    chains: dict[tuple[str, str, str], Chain] = field(default_factory=dict)
    sets: dict[str, SetWork] = field(default_factory=dict)
    owners: dict[tuple[str, str, int], str] = field(default_factory=dict)
    upkeep: list[Task] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def at(self, minute: int) -> str:
        """Return a minute as complaints show it."""
        return f"{local(minute, self.plan.zone):%a %d %b %H:%M}"

    def what(self, task: Task) -> str:
        """Return a task as complaints show it."""
        members = ", ".join(
            f"{m.order}{' pull ' + str(list(m.pulls)) if m.pulls else ''}"
            f"{' part ' + str(list(m.parts)) if m.parts else ''}"
            for m in task.members
        )
        return (
            f"{task.operation} of {members or task.mould or task.process} "
            f"({self.at(task.start)} to {self.at(task.end)})"
        )

    def operation(self, task: Task) -> Operation | None:
        """Return the operation a task does, None where the shop has none of that name."""
        if task.process in self.shop.sets:
            known: Iterable[Operation] = self.shop.sets[task.process].operations
        elif task.process in self.shop.processes:
            process = self.shop.processes[task.process]
            upkeep = (process.conditioning,) if process.conditioning else ()
            known = (*process.operations, *upkeep)
        else:
            known = ()
        return next((o for o in known if o.name == task.operation), None)

    def chains_of(self, task: Task) -> Iterator[tuple[Chain, tuple[int, ...], tuple[int, ...]]]:
        """Yield each member's chains with its pulls and parts.

        In an order for sets a batch may hold pulls of several parts; ids are unique within
        the order, so each goes to the chain whose own tasks know it.
        """
        for member in task.members:
            keys = [key for key in self.chains if key[0] == member.order and key[2] == task.process]
            if member.order not in self.sets:
                for key in keys:
                    yield self.chains[key], member.pulls, member.parts
                continue
            for key in keys:
                owner = self.owners.get
                pulls = tuple(
                    p for p in member.pulls if owner((member.order, "pull", p), task.part) == key[1]
                )
                parts = tuple(
                    p for p in member.parts if owner((member.order, "part", p), task.part) == key[1]
                )
                if (
                    pulls
                    or parts
                    or (not member.pulls and not member.parts and key[1] == task.part)
                ):
                    yield self.chains[key], pulls, parts


def lay_out(shop: Shop, plan: Plan, running: Iterable[Task] = ()) -> Ledger:
    """Return a plan laid out against the shop's orders."""
    ledger = Ledger(shop=shop, plan=plan, running=frozenset(running))
    for order in shop.orders:
        chains = []
        if order.part in shop.sets:
            wanted = [
                (s.part, s.process, s.count * order.quantity) for s in shop.sets[order.part].parts
            ]
        else:
            wanted = [(order.part, order.process or "", order.quantity)]
        for part, process, quantity in wanted:
            families = shop.families(part, process)
            chain = Chain(
                order=order,
                part=part,
                process=shop.processes[process],
                wanted=quantity,
                cavities=next((f.cavities for f in families if f.moulds or f.made_by), 1),
            )
            ledger.chains[order.number, part, process] = chain
            chains.append(chain)
        if order.part in shop.sets:
            ledger.sets[order.number] = SetWork(order=order, chains=chains)
    for task in plan.tasks:
        if len(task.members) == 1 and len(task.members[0].pulls) <= 1:
            only = task.members[0]
            if len(only.pulls) + len(only.parts) > 0 and len(only.parts) <= 1:
                ledger.owners.update({(only.order, "pull", p): task.part for p in only.pulls})
                ledger.owners.update({(only.order, "part", p): task.part for p in only.parts})
    for task in plan.tasks:
        _place(ledger, task)
    return ledger


def _place(ledger: Ledger, task: Task) -> None:
    if not task.members:
        ledger.upkeep.append(task)
        return
    if task.process in ledger.shop.sets:
        for member in task.members:
            work = ledger.sets.get(member.order)
            if work is None:
                ledger.complaints.append(f"{ledger.what(task)} is of no order for sets")
            else:
                work.tasks.append(task)
        return
    operation = ledger.operation(task)
    if operation is None:
        ledger.complaints.append(f"{ledger.what(task)} is no operation of {task.process}")
        return
    found = False
    for chain, pulls, parts in ledger.chains_of(task):
        found = True
        _record(ledger, chain, task, operation, pulls, parts)
    if not found:
        ledger.complaints.append(f"{ledger.what(task)} is of no open order by {task.process}")


def _record(
    ledger: Ledger,
    chain: Chain,
    task: Task,
    operation: Operation,
    pulls: tuple[int, ...],
    parts: tuple[int, ...],
) -> None:
    """Note which unit a task served, and complain of one served twice or not well formed."""
    has_pulls = chain.process.has_pulls
    if operation.per == "pull" and (len(pulls) != 1 or len(task.members) != 1):
        ledger.complaints.append(f"{ledger.what(task)}: a pull task lists one pull")
    if operation.per == "part" and (
        len(parts) != 1 or len(task.members) != 1 or len(pulls) != (1 if has_pulls else 0)
    ):
        ledger.complaints.append(f"{ledger.what(task)}: a part task lists one pull and one part")
    if operation.per == "batch" and not (pulls or parts):
        ledger.complaints.append(f"{ledger.what(task)}: a batch task lists its pulls or parts")
    if has_pulls:
        chain.pulls.update(pulls)
        if operation.per == "part" and len(pulls) == 1:
            chain.parts_of[pulls[0]].update(parts)
            chain.pull_by_part.update(dict.fromkeys(parts, pulls[0]))
    elif operation.per != "order":
        chain.parts_of[0].update(parts)
    units: list[Unit]
    if operation.per == "order":
        units = [("order", 0)]
    elif operation.per == "pull" or (operation.per == "batch" and has_pulls and not parts):
        units = [("pull", pull) for pull in pulls]
    else:
        units = [("part", part) for part in parts]
    for unit in units:
        key = (operation.name, unit)
        if key in chain.done:
            ledger.complaints.append(
                f"{chain.name}: {operation.name} is done twice for {unit[0]} {unit[1]}"
            )
        chain.done[key] = task
