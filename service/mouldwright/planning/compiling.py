"""Compiling a shop and its open orders into a problem: routings, lots, moulds, hours."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from mouldwright.domain.costing.scrap import starts_for
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
from mouldwright.planning.materials import material_from
from mouldwright.planning.plan import Task
from mouldwright.planning.problem import Demand, Lot, Problem
from mouldwright.planning.routing import Crews, Routing, least_min, micrograms
from mouldwright.planning.shares import passed_by
from mouldwright.planning.toolmaking import Moulds, serving


def build_problem(
    shop: Shop,
    *,
    now: int,
    orders: Sequence[Order] | None = None,
    running: Sequence[Task] = (),
    horizon: int | None = None,
) -> Problem:
    """Compile a shop and its open orders.

    Args:
        shop: The workshop.
        now: Minutes since the epoch; nothing new starts before.
        orders: The orders to plan; None for all of the shop's.
        running: Tasks under way, which stay as they are.
        horizon: Minutes from now up to which hours are laid out; None to estimate it.

    Raises:
        NotFound: if an order names a part, set or process the shop does not have.
        InvalidInput: if a quantity or a good rate cannot be right.
        HardLimit: if nothing brings a material that is short.
    """
    begun = frozenset(member.order for task in running for member in task.members)
    planned = shop.orders if orders is None else orders
    problem = _Builder(shop, now).build(planned, horizon, begun)
    return replace(problem, running=tuple(running))


class _Builder:
    """Collects routings, lots and moulds while the orders are gone through."""

    def __init__(self, shop: Shop, now: int) -> None:
        self.shop, self.now = shop, now
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
        )

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
        next_ids, starts = (1, 1), 0
        lots: list[int] = []
        if order.part in shop.sets:
            kit = shop.sets[order.part]
            for piece in kit.parts:
                lot = self._lot(
                    piece.part,
                    piece.process,
                    quantity=order.quantity * piece.count,
                    fixed_starts=None,
                    release=release,
                    ids=next_ids,
                )
                lots.append(lot.index)
                starts += lot.units * lot.cavities
                next_ids = _after(lot, next_ids)
            if kit.operations:
                lots.append(self._set_lot(order, release, next_ids, tuple(lots)))
        else:
            if order.process is None:
                raise NotFound(kind="process", key="", known=shop.part(order.part).made_by)
            lot = self._lot(
                order.part,
                order.process,
                quantity=order.quantity,
                fixed_starts=order.starts,
                release=release,
                ids=next_ids,
            )
            lots.append(lot.index)
            starts = lot.units * lot.cavities
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

    def _lot(
        self,
        part_key: str,
        process_key: str,
        *,
        quantity: int,
        fixed_starts: int | None,
        release: int,
        ids: tuple[int, int],
    ) -> Lot:
        """Add all starts of one part by one process for the order now being added."""
        shop, process = self.shop, self.shop.process(process_key)
        tools = self.moulds.at_hand(part_key, process_key) if process.uses_mould else ()
        families = serving(shop, part_key, process_key)
        cavities = families[0].cavities if process.uses_mould and families else 1
        starts = fixed_starts
        if starts is None:
            starts = starts_for(
                quantity,
                process,
                cavities,
                shop.service_level,
                loss_rate=families[0].loss_rate if process.uses_mould and families else 0,
            ).starts
        units = -(-starts // cavities)
        matrix, loads = self._loaded(part_key, process, self._routing(process_key), cavities)
        return self._append(
            order=len(self.demands),
            routing=self.routing_index[process_key],
            part=part_key,
            units=units,
            cavities=cavities,
            ids=ids,
            release=release,
            matrix_ug=matrix,
            loads_ug=loads,
            tools=tools,
        )

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
            cavities=cavities,
            ids=(1, 1),
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
        cavities: int,
        ids: tuple[int, int],
        release: int,
        matrix_ug: dict[int, int] | None = None,
        loads_ug: tuple[int, ...] | None = None,
        tools: tuple[int, ...] = (),
        builds: int = -1,
        proves: int = -1,
        after_lots: tuple[int, ...] = (),
    ) -> Lot:
        compiled = self.routings[routing]
        members = {0: 1, 1: cavities, 2: 0, 3: units * cavities}
        lot = Lot(
            index=len(self.lots),
            order=order,
            routing=routing,
            part=part,
            units=units,
            cavities=cavities,
            first_pull=ids[0] if compiled.has_pulls else 0,
            first_part=ids[1],
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
            skips=passed_by(compiled.steps, units, cavities),
        )
        self.lots.append(lot)
        return lot

    def _set_lot(
        self, order: Order, release: int, ids: tuple[int, int], parts: tuple[int, ...]
    ) -> int:
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
            cavities=1,
            ids=ids,
            release=release,
            after_lots=parts,
        ).index


def _after(lot: Lot, ids: tuple[int, int]) -> tuple[int, int]:
    """Return the next free pull and part ids of an order after one of its lots."""
    pulls = lot.units if lot.first_pull else 0
    return ids[0] + pulls, ids[1] + lot.units * lot.cavities
