"""A plan laid out for judging: which task did which operation on which pull or part."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.hours.opening import local
from mouldwright.domain.order import Order
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.planning.checking.chain import WHOLE_ORDER, Chain, Unit
from mouldwright.planning.checking.told import Told, told_by
from mouldwright.planning.plan import Plan, Task

Share = tuple[Chain, tuple[int, ...], tuple[int, ...]]


@dataclass(slots=True, kw_only=True)
class Ledger:
    """The whole plan laid out, with what could not be.

    Attributes:
        under_way: Identities of the plan's tasks that are under way, which are as they are.
        chains: By order, part and process.
        of_order: The same chains by order and process.
        sets: The work on an order's sets, by order number.
        builds: The building of a mould that is not at hand, by its name.
        owners: Part by (order, "pull" or "part", id), as single tasks name it.
        proofs: The pulls that prove a mould, in turn, by its name.
        proving: Which of them a task is of, by its identity.
        proved: How many tasks of each operation were found to prove each mould.
        conditioning: Tasks that condition a mould.
        operations: By key of the process (or set) and name.
        told: What the log tells.
    """

    shop: Shop
    plan: Plan
    under_way: frozenset[int] = frozenset()
    chains: dict[tuple[str, str, str], Chain] = field(default_factory=dict)
    of_order: dict[tuple[str, str], list[Chain]] = field(default_factory=lambda: defaultdict(list))
    sets: dict[str, Chain] = field(default_factory=dict)
    builds: dict[str, Chain] = field(default_factory=dict)
    owners: dict[tuple[str, str, int], str] = field(default_factory=dict)
    proofs: dict[str, list[Chain]] = field(default_factory=lambda: defaultdict(list))
    proving: dict[int, Share] = field(default_factory=dict)
    proved: dict[tuple[str, str], int] = field(default_factory=dict)
    conditioning: list[Task] = field(default_factory=list)
    operations: dict[tuple[str, str], Operation] = field(default_factory=dict)
    complaints: list[str] = field(default_factory=list)
    told: Told = field(default_factory=Told)

    def at(self, minute: int) -> str:
        """Return a minute as complaints show it."""
        return f"{local(minute, self.plan.zone):%a %d %b %H:%M}"

    def what(self, task: Task) -> str:
        """Return a task as complaints show it."""
        members = ", ".join(
            f"{m.order}{_numbers('pull', m.pulls)}{_numbers('part', m.parts)}" for m in task.members
        )
        return (
            f"{task.operation} of {members or task.mould or task.process} "
            f"({self.at(task.start)} to {self.at(task.end)})"
        )

    def complain(self, task: Task, problem: str) -> None:
        """Add a complaint about one task."""
        self.complaints.append(f"{self.what(task)} {problem}")

    def is_running(self, task: Task) -> bool:
        """Return whether a task of the plan is under way."""
        return id(task) in self.under_way

    def is_history(self, task: Task) -> bool:
        """Return whether a task is as it happened to be, which no rule can change any more."""
        return bool(self.shop.log) and self.is_running(task)

    def gone(self, chain: Chain, unit: Unit) -> int | None:
        """Return since when a pull or part goes no further, by the log; None where it does."""
        gone = self.told.gone.get(chain.order.number)
        if not gone or unit == WHOLE_ORDER or chain.part in self.shop.sets:
            return None
        if unit in gone:
            return gone[unit]
        if unit[0] == "part":
            pull = chain.pull_by_part.get(unit[1])
            return None if pull is None else gone.get(("pull", pull))
        parts = sorted(chain.parts_of.get(unit[1], ()))
        each = chain.parts_each(unit[1])
        if len(parts) < each and chain.order.number not in self.sets:
            parts = list(range((unit[1] - 1) * each + 1, unit[1] * each + 1))
        since = [gone[("part", part)] for part in parts if ("part", part) in gone]
        return max(since) if since and len(since) == each else None

    def going_on(self, chain: Chain) -> int:
        """Return how many of a chain's parts are not gone."""
        if not self.told.gone.get(chain.order.number):
            return chain.starts
        count = 0
        for unit in chain.units:
            each = chain.parts_each(unit[1]) if unit[0] == "pull" else 1
            if self.gone(chain, unit) is None:
                count += each - len(self.gone_parts(chain, unit))
        return count

    def gone_parts(self, chain: Chain, unit: Unit) -> set[int]:
        """Return the parts of a pull that go no further by themselves."""
        if unit[0] != "pull":
            return set()
        known = chain.parts_of.get(unit[1], set())
        each = chain.parts_each(unit[1])
        numbers = known or set(range((unit[1] - 1) * each + 1, unit[1] * each + 1))
        gone = self.told.gone.get(chain.order.number, {})
        return {part for part in numbers if ("part", part) in gone}

    def operation(self, task: Task) -> Operation | None:
        """Return the operation a task does, None where the shop has none of that name."""
        return self.operations.get((task.process, task.operation))

    def family(self, mould: str | None) -> MouldFamily | None:
        """Return the family of a mould by its name; None where there is none."""
        return self.shop.moulds.get((mould or "").rpartition(" ")[0])

    def all_chains(self) -> Iterator[Chain]:
        """Yield every chain: of orders, of sets and of moulds being built."""
        yield from self.chains.values()
        yield from self.sets.values()
        yield from self.builds.values()
        for chains in self.proofs.values():
            yield from chains

    def chains_of(self, task: Task) -> Iterator[Share]:
        """Yield each member's chains with its pulls and parts.

        In an order for sets a batch may hold pulls of several parts; ids are unique within
        the order, so each goes to the chain whose own tasks know it.
        """
        if not task.members:
            if id(task) in self.proving:
                yield self.proving[id(task)]
                return
            chain = self.builds.get(task.mould or "")
            if chain is not None and chain.process.key == task.process:
                yield (chain, (1,), ()) if chain.process.has_pulls else (chain, (), (1,))
            return
        for member in task.members:
            if task.process in self.shop.sets:
                if member.order in self.sets:
                    yield self.sets[member.order], (), member.parts
                continue
            chains = self.of_order.get((member.order, task.process), [])
            if member.order not in self.sets:
                for chain in chains:
                    yield chain, member.pulls, member.parts
                continue
            for chain in chains:
                pulls = tuple(
                    p
                    for p in member.pulls
                    if self._owner(member.order, "pull", p, task) == chain.part
                )
                parts = tuple(
                    p
                    for p in member.parts
                    if self._owner(member.order, "part", p, task) == chain.part
                )
                bare = not member.pulls and not member.parts and chain.part == task.part
                if pulls or parts or bare:
                    yield chain, pulls, parts

    def _owner(self, order: str, kind: str, number: int, task: Task) -> str:
        return self.owners.get((order, kind, number), task.part)


def _numbers(kind: str, ids: tuple[int, ...]) -> str:
    """Return " pull 4", " parts 1 to 3" or " parts 1, 4"; nothing where there are none."""
    if not ids:
        return ""
    if len(ids) > 2 and ids[-1] - ids[0] == len(ids) - 1:
        return f" {kind}s {ids[0]} to {ids[-1]}"
    return f" {kind}{'s' if len(ids) > 1 else ''} {', '.join(map(str, ids))}"


def lay_out(shop: Shop, plan: Plan, running: Iterable[Task] = ()) -> Ledger:
    """Return a plan laid out against the shop's orders."""
    running = frozenset(running)
    under_way = frozenset(id(task) for task in plan.tasks if running and task in running)
    ledger = Ledger(
        shop=shop,
        plan=plan,
        under_way=under_way,
        told=told_by(shop, plan.now, (task for task in plan.tasks if id(task) in under_way)),
    )
    for process in shop.processes.values():
        upkeep = (process.conditioning,) if process.conditioning else ()
        for operation in (*process.operations, *upkeep):
            ledger.operations[process.key, operation.name] = operation
    for sold in shop.sets.values():
        for operation in sold.operations:
            ledger.operations[sold.key, operation.name] = operation
    for order in shop.orders:
        _open(ledger, order)
    for task in plan.tasks:
        if len(task.members) == 1 and task.process not in shop.sets:
            only = task.members[0]
            if len(only.pulls) <= 1 and len(only.parts) <= 1:
                ledger.owners.update({(only.order, "pull", p): task.part for p in only.pulls})
                ledger.owners.update({(only.order, "part", p): task.part for p in only.parts})
    # What proves a mould names no pull: its tasks are told apart by their order in time.
    for task in sorted(plan.tasks, key=lambda task: task.start):
        family = ledger.family(task.mould)
        operation = ledger.operation(task)
        if task.members or family is None or operation is None or operation.per == "conditioning":
            continue
        if family.process == task.process != family.made_by:
            lay_out_proof(ledger, task, operation, family)
    for task in plan.tasks:
        _place(ledger, task)
    return ledger


def _open(ledger: Ledger, order: Order) -> None:
    """Open a chain for each part and process of an order."""
    shop = ledger.shop
    sold = shop.sets.get(order.part)
    wanted = [(order.part, order.process or "", order.quantity)]
    if sold is not None:
        pieces = good_pieces(shop, sold, order.quantity)
        wanted = [(s.part, s.process, n) for s, n in zip(sold.parts, pieces, strict=True)]
        ledger.sets[order.number] = Chain(
            name=f"order {order.number} (sets of {sold.key})",
            order=order,
            part=sold.key,
            process=Process(
                key=sold.key, title=sold.title, structure=None, operations=sold.operations
            ),
            wanted=order.quantity,
        )
    counts: dict[tuple[str, str], int] = defaultdict(int)
    for part, process, quantity in wanted:
        counts[part, process] += quantity
    for (part, process), quantity in counts.items():
        families = shop.families(part, process)
        chain = Chain(
            name=f"order {order.number} ({part} by {process})",
            order=order,
            part=part,
            process=shop.processes[process],
            wanted=quantity,
            cavities=next((f.cavities for f in families if f.moulds or f.made_by), 1),
        )
        ledger.chains[order.number, part, process] = chain
        ledger.of_order[order.number, process].append(chain)


def _place(ledger: Ledger, task: Task) -> None:
    operation = ledger.operation(task)
    if operation is None:
        ledger.complain(task, f"is no operation of {task.process}")
        return
    if not task.members:
        _upkeep(ledger, task, operation)
        return
    if len({member.order for member in task.members}) != len(task.members):
        ledger.complain(task, "lists an order twice")
    if operation.per != "batch" and len(task.members) != 1:
        ledger.complain(task, "is of several orders and no batch")
    served = set()
    for chain, pulls, parts in ledger.chains_of(task):
        served.add(chain.order.number)
        _record(ledger, chain, task, operation, pulls, parts)
        if operation.per != "batch" and task.part != chain.part:
            ledger.complain(task, f"names {task.part} and is of {chain.part}")
    for member in task.members:
        if member.order not in served:
            ledger.complain(task, f"is of no open order {member.order} by {task.process}")


def _upkeep(ledger: Ledger, task: Task, operation: Operation) -> None:
    """Place a task without members: conditioning, or a step in building a mould."""
    family = ledger.family(task.mould)
    if family is None:
        ledger.complain(task, f"has no members and no mould that is known: {task.mould}")
    elif operation.per == "conditioning":
        if family.process != task.process:
            ledger.complain(task, f"is no upkeep of {task.mould}")
        ledger.conditioning.append(task)
    elif id(task) in ledger.proving:
        chain, pulls, parts = ledger.proving[id(task)]
        _record(ledger, chain, task, operation, pulls, parts)
    elif family.made_by != task.process:
        ledger.complain(task, f"has no members and does not build {task.mould}")
    else:
        name = task.mould or ""
        if name not in ledger.builds:
            ledger.builds[name] = Chain(
                name=f"the building of {name}",
                order=Order(number=name, part=family.part, quantity=1, starts=1),
                part=task.part,
                process=ledger.shop.processes[task.process],
                wanted=1,
            )
        for chain, pulls, parts in ledger.chains_of(task):
            if operation.per == "part" and pulls:
                parts = (1,)
            _record(ledger, chain, task, operation, pulls, parts)


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
    if operation.per == "pull" and (len(pulls) != 1 or parts):
        ledger.complain(task, "is a pull task and lists other than one pull")
    if operation.per == "part" and (len(parts) != 1 or len(pulls) != (1 if has_pulls else 0)):
        ledger.complain(task, "is a part task and lists other than one pull and one part")
    if operation.per == "batch" and (not pulls or parts if has_pulls else not parts or pulls):
        ledger.complain(task, f"is a batch task and lists no {'pulls' if has_pulls else 'parts'}")
    units: list[Unit] = chain.units_of(pulls, parts)
    if operation.per == "order":
        units = [WHOLE_ORDER]
    if has_pulls:
        chain.pulls.update(pulls)
        family = ledger.family(task.mould)
        if operation.per == "pull" and family is not None:
            chain.cavities_of.update(dict.fromkeys(pulls, family.cavities))
        if operation.per == "part" and len(pulls) == 1:
            chain.parts_of[pulls[0]].update(parts)
            chain.pull_by_part.update(dict.fromkeys(parts, pulls[0]))
    else:
        chain.parts_of[0].update(parts)
    for unit in units:
        key = (operation.name, unit)
        if key in chain.done:
            ledger.complaints.append(
                f"{chain.name}: {operation.name} is done twice for {unit[0]} {unit[1]}"
            )
        chain.done[key] = task


def lay_out_proof(ledger: Ledger, task: Task, operation: Operation, family: MouldFamily) -> None:
    """Give a task to the pull of its mould's proof that it belongs to."""
    name = task.mould or ""
    singly = operation.per == "part"
    key = (name, task.operation)
    done = ledger.proved.get(key, 0)
    ledger.proved[key] = done + 1
    number = done // family.cavities if singly else done
    chains = ledger.proofs[name]
    if number >= len(chains):
        chains.append(
            Chain(
                name=f"the proof of {name}, pull {number + 1}",
                order=Order(number=name, part=family.part, quantity=1, starts=1),
                part=family.part,
                process=_as_far_as_proof(ledger.shop.processes[family.process]),
                wanted=1,
                cavities=family.cavities,
            )
        )
    part = done % family.cavities + 1
    ledger.proving[id(task)] = (chains[number], (1,), (part,) if singly else ())


def _as_far_as_proof(process: Process) -> Process:
    """Return what a proof pull goes through: all up to the last of the mould's holds."""
    names = [operation.name for operation in process.operations]
    last = max(names.index(hold.last) for hold in process.holds if hold.resource == "mould")
    kept = [
        operation
        for operation in process.operations[: last + 1]
        if operation.per != "order" and not operation.rework
    ]
    known = {operation.name for operation in kept}
    return replace(
        process,
        operations=tuple(
            replace(o, after=tuple(name for name in o.after if name in known)) for o in kept
        ),
        holds=tuple(h for h in process.holds if h.first in known and h.last in known),
        reworks=(),
    )
