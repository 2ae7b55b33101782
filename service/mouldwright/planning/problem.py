"""A shop and its open orders, compiled into what planning works on.

Instants are whole minutes from the plan's now; people, stations, moulds, orders and
steps are indices. Nothing here decides anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from mouldwright.domain.hours.opening import Window
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import Aging
from mouldwright.planning.ground import Ground
from mouldwright.planning.numbering import Numbering
from mouldwright.planning.plan import Task
from mouldwright.planning.routing import Routing


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A station.

    Attributes:
        units: Names of its units.
        room: Parts a unit takes at once; 0 for one task at a time.
        windows: When it may be used; None at any time.
    """

    key: str
    units: tuple[str, ...]
    room: int
    windows: tuple[Window, ...] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """One mould.

    Attributes:
        family: Index of its family.
        life_left: Pulls it still takes; NEVER where it does not wear.
        since: Pulls since it was last conditioned.
        every: Pulls between conditionings; NEVER where none is due.
        built_by: Lot that makes it; -1 where it is at hand.
        proof: Pulls that still have to prove it before any is sold.
        proved_by: Lot of those pulls; -1 for none.
    """

    name: str
    family: int
    pulls: int
    life_left: int
    since: int
    every: int
    built_by: int
    proof: int = 0
    proved_by: int = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """All starts of one part by one process for one order.

    The building of a mould is a lot of one start for no order; a set's own operations
    are a lot whose units are sets.

    Attributes:
        order: Index of the order; -1 for the building of a mould.
        routing: Index of the routing.
        part: Key of the part, or of the set.
        units: Pulls, or parts where there are no pulls.
        cavities: Parts of one unit.
        numbers: Of its pulls and parts within the order.
        release: Earliest start.
        durations: Minutes of each step's task; 0 for batch steps, which depend on the batch.
        matrix_ug: Matrix one unit takes, by step index, for mixing steps.
        loads_ug: What one unit adds to each batch chain's limit by mass.
        tools: Moulds that serve it.
        builds: Mould it makes; -1 for none.
        proves: Mould that its pulls prove; -1 for none.
        skips: For each step, the units (parts, for a step by part) it is not done to; empty
            where every step is done to all.
        after_lots: Lots that must be finished before it starts.
        ended: Parts that go no further, and those that are not needed: by place among the lot's
            parts, the minute from which nothing more is done to them.
        passed: By place, the last step that parts are through, where the log tells.
        seconds: Places of parts that are seconds.
    """

    index: int
    order: int
    routing: int
    part: str
    units: int
    cavities: int
    numbers: Numbering
    release: int
    durations: tuple[int, ...]
    matrix_ug: dict[int, int]
    loads_ug: tuple[int, ...]
    tools: tuple[int, ...]
    builds: int = -1
    proves: int = -1
    after_lots: tuple[int, ...] = ()
    skips: tuple[frozenset[int], ...] = ()
    ended: Mapping[int, int] = field(default_factory=dict)
    passed: Mapping[int, int] = field(default_factory=dict)
    seconds: frozenset[int] = frozenset()

    @property
    def living(self) -> int:
        """Return how many of its parts go on, those still to be begun among them."""
        return self.units * self.cavities - len(self.ended)


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """One open order.

    Attributes:
        due: Minutes from now; None where it has no date.
        lots: Its lots.
        starts: Parts begun in all.
    """

    number: str
    due: int | None
    weight: int
    release: int
    lots: tuple[int, ...]
    starts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Everything the planner needs, flat.

    Attributes:
        now: Minutes since the epoch.
        horizon: Minutes from now up to which hours are known.
        windows: Open time of each person.
        crews: Sets of people, by index, those to ask first in front.
        running: Tasks under way, kept as they are.
        ground: Rooms and sessions.
        clocks: By which materials set, see clocks_of.
        counted: Pulls that the counts of moulds hold already: order and pull.
    """

    shop: Shop
    now: int
    zone: str
    horizon: int
    people: tuple[str, ...]
    windows: tuple[tuple[Window, ...], ...]
    crews: tuple[tuple[int, ...], ...]
    places: tuple[Place, ...]
    families: tuple[MouldFamily, ...]
    tools: tuple[Tool, ...]
    routings: tuple[Routing, ...]
    lots: tuple[Lot, ...]
    demands: tuple[Demand, ...]
    running: tuple[Task, ...] = ()
    ground: Ground = field(default_factory=Ground)
    clocks: tuple[Aging, ...] = ()
    counted: frozenset[tuple[str, int]] = frozenset()

    @property
    def has_begun(self) -> bool:
        """Return whether something is under way, or over before its time."""
        return bool(self.running) or any(lot.ended for lot in self.lots)

    def routing_of(self, lot: Lot) -> Routing:
        """Return the routing a lot follows."""
        return self.routings[lot.routing]
