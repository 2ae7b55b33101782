"""Compiling a shop and its open orders into a problem: routings, lots, moulds, hours."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from mouldwright.domain.errors import NotFound
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.order import Order
from mouldwright.domain.part.mass import charge
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import exact, whole_up
from mouldwright.domain.shop import Shop
from mouldwright.planning.clocks import clocks_of
from mouldwright.planning.cutting import compile_routing
from mouldwright.planning.ground import Footing, footing_of, ground_of
from mouldwright.planning.horizon import Opening, estimate, places_of
from mouldwright.planning.logged.assumed import with_logged, with_what_must_be
from mouldwright.planning.logged.missed import Missed
from mouldwright.planning.logged.pieces import Piece, pieces_of
from mouldwright.planning.logged.reading import LogRead, read_log
from mouldwright.planning.logged.shares import as_told
from mouldwright.planning.logged.standing import as_it_stands
from mouldwright.planning.logged.starts import Outlook, outlook
from mouldwright.planning.materials import material_from
from mouldwright.planning.numbering import Numbering
from mouldwright.planning.plan import Task
from mouldwright.planning.problem import Demand, Lot, Problem
from mouldwright.planning.routing import ORDER, Crews, Routing, least_min, micrograms
from mouldwright.planning.shares import passed_by
from mouldwright.planning.toolmaking import Moulds


def build_problem(
    shop: Shop,
    *,
    now: int,
    orders: Sequence[Order] | None = None,
    running: Sequence[Task] = (),
    horizon: int | None = None,
    all_that_wait: bool = False,
    missed: Container[Missed] = (),
    planned: Sequence[Task] = (),
    read: LogRead | None = None,
) -> Problem:
    """Compile a shop and its open orders.

    Args:
        shop: The workshop.
        now: Minutes since the epoch; nothing new starts before.
        orders: The orders to plan; None for all of the shop's.
        running: Tasks under way, which stay as they are, besides those the shop's log tells of.
        horizon: Minutes from now up to which hours are laid out; None to estimate it.
        all_that_wait: Whether what must follow soon on what has begun is taken as done in time.
        missed: What of it is, in any case.
        planned: As a plan has tasks that the log tells of: where it is silent, they were so.
        read: The log as it was read with all of these; None to read it.

    Raises:
        NotFound: if an order names a part, set or process the shop does not have.
        InvalidInput: if a quantity or a good rate cannot be right.
        HardLimit: if nothing brings a material that is short.
    """
    if read is None:
        read = read_log(shop, now=now, planned=(*running, *planned), given=running)
    standing = as_it_stands(shop, now=now, read=read)
    if orders is not None:
        # What is asked for beside the shop's own orders is as it was given.
        known = {order.number: order for order in standing.orders}
        orders = [known.get(order.number, order) for order in orders]
    under_way = with_logged(standing, read, running)
    begun = frozenset(member.order for task in under_way for member in task.members)
    wanted = standing.orders if orders is None else orders
    builder = _Builder(standing, now, read, under_way)
    problem = builder.build(wanted, horizon, begun)
    under_way = tuple(task for task in under_way if not builder.comes_again(task))
    problem = replace(problem, running=under_way)
    return with_what_must_be(problem, read, all_that_wait=all_that_wait, missed=missed)


class _Builder:
    """Collects routings, lots and moulds while the orders are gone through."""

    def __init__(self, shop: Shop, now: int, read: LogRead, running: Sequence[Task]) -> None:
        self.shop, self.now, self.read, self.running = shop, now, read, running
        self.people = tuple(shop.people)
        self.crews = Crews([shop.people[key].skills for key in self.people])
        self.stations = {key: i for i, key in enumerate(shop.stations)}
        self.with_hours = frozenset(
            i for i, station in enumerate(shop.stations.values()) if station.weekly is not None
        )
        self.ground = ground_of(shop)
        self.routings: list[Routing] = []
        self.routing_index: dict[str, int] = {}
        self.moulds = Moulds(shop)
        self.material_from: dict[str, int] = {}
        self.lots: list[Lot] = []
        self.demands: list[Demand] = []
        self.dropped = 0
        # By order and process, the parts begun that go on; 0 for those still to be begun.
        self.living: dict[tuple[str, str], set[int]] = {}

    def build(self, orders: Sequence[Order], horizon: int | None, begun: frozenset[str]) -> Problem:
        self.material_from = material_from(self.shop, orders, self.now, begun)
        for order in orders:
            self._add_order(order)
        self.moulds.make(self.lots, self.routings, self._append, self._routing)
        self.moulds.prove(self.lots, self._proof)
        length = estimate(self.lots, self.routings) if horizon is None else horizon
        opening = Opening(self.now, length)
        return Problem(
            shop=self.shop,
            now=self.now,
            zone=self.shop.zone,
            horizon=length,
            people=self.people,
            windows=tuple(
                opening.of(self.shop.hours_of(person)) for person in self.shop.people.values()
            ),
            crews=self.crews.all,
            places=places_of(self.shop, opening),
            ground=self.ground,
            clocks=clocks_of(self.shop, self.now, length),
            families=tuple(self.moulds.families),
            tools=tuple(self.moulds.tools),
            routings=tuple(self.routings),
            lots=tuple(self.lots),
            demands=tuple(self.demands),
            counted=self.read.counted,
        )

    def comes_again(self, task: Task) -> bool:
        """Return whether a task on a whole order is to be done again: more parts are to come."""
        listed = {part for member in task.members for part in member.parts}
        grows = [self.living.get((m.order, task.process)) for m in task.members]
        if not any(each and (0 in each or (listed and each - listed)) for each in grows):
            return False
        for routing in self.routings:
            for step in routing.steps if routing.key == task.process else ():
                if step.name == task.operation and step.level == ORDER:
                    return any(routing.steps[p].level != ORDER for p in step.preds)
        return False

    def _minute(self, instant: datetime | None) -> int | None:
        return None if instant is None else minute_of(instant) - self.now

    def _footing(self, operation: Operation) -> Footing:
        return footing_of(self.shop, self.ground, operation)

    def _routing(self, process_key: str) -> int:
        if process_key not in self.routing_index:
            self.routing_index[process_key] = self._compiled(self.shop.process(process_key))
        return self.routing_index[process_key]

    def _compiled(self, process: Process) -> int:
        """Add the routing of a process and return its index."""
        self.routings.append(
            compile_routing(
                process.key,
                process.operations,
                process=process,
                crews=self.crews,
                stations=self.stations,
                with_hours=self.with_hours,
                materials=self.shop.materials,
                rooms={k: s.room or 0 for k, s in self.shop.stations.items()},
                ground=self._footing,
            )
        )
        return len(self.routings) - 1

    def _add_order(self, order: Order) -> None:
        shop = self.shop
        release = max(self._minute(order.release) or 0, self.material_from.get(order.number, 0), 0)
        if order.part not in shop.sets and order.process is None:
            raise NotFound(kind="process", key="", known=shop.part(order.part).made_by)
        starts = 0
        lots: list[int] = []
        pieces = pieces_of(shop, order)
        for piece in pieces:
            lot = self._piece(piece, release)
            lots.append(lot.index)
            starts += lot.units * lot.cavities - self.dropped
        kit = shop.sets.get(order.part)
        if kit is not None and kit.operations:
            after = sum(piece.units * piece.cavities for piece in pieces) + 1
            lots.append(self._set_lot(order, release, after, tuple(lots)))
        self.demands.append(
            Demand(
                number=order.number,
                due=self._minute(order.due),
                weight=order.weight,
                release=release,
                lots=tuple(lots),
                starts=starts,
            )
        )

    def _piece(self, piece: Piece, release: int) -> Lot:
        """Add all starts of one part by one process for the order now being added."""
        shop, process = self.shop, self.shop.process(piece.process)
        found = outlook(shop, piece, self.read, self.running, now=self.now)
        self.living.setdefault((piece.order, piece.process), set()).update(
            self._numbers_going_on(found)
        )
        self.dropped = len(found.dropped) * piece.cavities
        tools = self.moulds.at_hand(piece.part, piece.process) if process.uses_mould else ()
        routing = self._routing(piece.process)
        matrix, loads = self._loaded(piece.part, process, routing, piece.cavities)
        return self._append(
            order=len(self.demands),
            routing=routing,
            part=piece.part,
            units=found.units,
            numbers=piece.numbers,
            release=release,
            matrix_ug=matrix,
            loads_ug=loads,
            tools=tools,
            ended=self._ended(found),
            skips=self._skips(found),
            passed=found.passed if piece.order in self.read.tells_of else {},
            seconds=found.seconds,
        )

    def _numbers_going_on(self, found: Outlook) -> Iterator[int]:
        """Yield the numbers of parts begun that go on, and 0 where more are to be begun."""
        if found.to_begin:
            yield 0
        for unit in found.begun:
            for which, number in enumerate(found.piece.numbers.parts(unit)):
                if (unit, which) not in found.lost:
                    yield number

    def _ended(self, found: Outlook) -> dict[int, int]:
        """Return what of a lot goes no further, and from when; what was dropped never began."""
        each = found.piece.cavities
        ended = {unit * each + which: -1 for unit in found.dropped for which in range(each)}
        for (unit, which), minute in found.lost.items():
            ended[unit * each + which] = minute - self.now
        return ended

    def _skips(self, found: Outlook) -> tuple[frozenset[int], ...]:
        """Return which parts pass a step by: as planned at first, and as the log tells since."""
        piece = found.piece
        steps = self.routings[self.routing_index[piece.process]].steps
        planned = passed_by(steps, piece.units, piece.cavities)
        if not planned or piece.order not in self.read.tells_of:
            return planned
        return as_told(steps, planned, found, self.read, self.running)

    def _proof(self, part_key: str, process_key: str, cavities: int, pulls: int, tool: int) -> Lot:
        """Add the pulls that prove a mould: as far as its hold goes, for nobody's order."""
        process = self.shop.process(process_key).proof
        name = f"proof {process_key}"
        if name not in self.routing_index:
            self.routing_index[name] = self._compiled(process)
        routing = self.routing_index[name]
        matrix, loads = self._loaded(part_key, process, routing, cavities)
        return self._append(
            order=-1,
            routing=routing,
            part=part_key,
            units=pulls,
            numbers=Numbering(cavities=cavities, units=pulls, first_pull=1, first_part=1),
            release=0,
            matrix_ug=matrix,
            loads_ug=loads,
            tools=(tool,),
            proves=tool,
        )

    def _loaded(
        self, part_key: str, process: Process, routing_index: int, cavities: int
    ) -> tuple[dict[int, int], tuple[int, ...]]:
        """Return what a unit takes of each mix, and adds to each chain's mass."""
        shop, part = self.shop, self.shop.part(part_key)
        routing = self.routings[routing_index]
        mixes = [s for s in routing.steps if s.operation.material]
        weighed = mixes or any(s.operation.batch_g is not None for s in routing.steps)
        charged = None
        if weighed:
            charged = charge(shop, part, process)
        loaded: dict[str, int] = {}
        mass = 0
        for constituent in charged.constituents if charged else ():
            grams = micrograms(constituent.loaded_g) * cavities
            loaded[constituent.material] = loaded.get(constituent.material, 0) + grams
            mass += micrograms(constituent.finished_g) * cavities
        # Poured in stages, a material is mixed as often as the routing says, shared evenly.
        stages = Counter(s.operation.material or "" for s in mixes)
        matrix = {}
        for step in mixes:
            material = step.operation.material or ""
            matrix[step.index] = -(-loaded.get(material, 0) // stages[material])
        return matrix, self._loads(routing, matrix, mass)

    def _loads(self, routing: Routing, matrix: dict[int, int], mass: int) -> tuple[int, ...]:
        """Return what a unit adds to each chain's mass: of a mix its grams, else its parts'."""
        loads = []
        for chain in range(len(routing.limits)):
            mixed = 0
            for step in routing.steps:
                mix = (
                    self.shop.materials[step.operation.material or ""].mix
                    if (step.chain == chain and step.index in matrix)
                    else None
                )
                if mix is not None:
                    mixed += whole_up(matrix[step.index] * (1 + exact(mix.lost_share)))
            loads.append(mixed or mass)
        return tuple(loads)

    def _append(
        self,
        *,
        order: int,
        routing: int,
        part: str,
        units: int,
        numbers: Numbering,
        release: int,
        matrix_ug: dict[int, int] | None = None,
        loads_ug: tuple[int, ...] | None = None,
        tools: tuple[int, ...] = (),
        builds: int = -1,
        proves: int = -1,
        after_lots: tuple[int, ...] = (),
        ended: Mapping[int, int] | None = None,
        skips: tuple[frozenset[int], ...] | None = None,
        passed: Mapping[int, int] | None = None,
        seconds: frozenset[int] = frozenset(),
    ) -> Lot:
        compiled, cavities = self.routings[routing], numbers.cavities
        ended = {} if ended is None else ended
        members = {0: 1, 1: cavities, 2: 0, 3: units * cavities - len(ended)}
        lot = Lot(
            index=len(self.lots),
            order=order,
            routing=routing,
            part=part,
            units=units,
            cavities=cavities,
            numbers=numbers,
            release=release,
            durations=tuple(
                0 if s.level == 2 else least_min(s, members[s.level]) for s in compiled.steps
            ),
            matrix_ug=matrix_ug or {},
            loads_ug=loads_ug or (0,) * len(compiled.limits),
            tools=tools,
            builds=builds,
            proves=proves,
            after_lots=after_lots,
            skips=passed_by(compiled.steps, units, cavities) if skips is None else skips,
            ended=ended,
            passed={} if passed is None else passed,
            seconds=seconds,
        )
        self.lots.append(lot)
        return lot

    def _set_lot(self, order: Order, release: int, first_part: int, parts: tuple[int, ...]) -> int:
        """Add a set's own operations: they start once all of its parts are made."""
        kit = self.shop.sets[order.part]
        name = f"set {kit.key}"
        if name not in self.routing_index:
            self.routing_index[name] = len(self.routings)
            self.routings.append(
                compile_routing(
                    kit.key,
                    kit.operations,
                    process=None,
                    crews=self.crews,
                    stations=self.stations,
                    with_hours=self.with_hours,
                    materials=self.shop.materials,
                    rooms={k: s.room or 0 for k, s in self.shop.stations.items()},
                    ground=self._footing,
                )
            )
        return self._append(
            order=len(self.demands),
            routing=self.routing_index[name],
            part=kit.key,
            units=order.quantity,
            numbers=Numbering(
                cavities=1, units=order.quantity, first_pull=0, first_part=first_part
            ),
            release=release,
            after_lots=parts,
        ).index
