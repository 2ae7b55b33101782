"""Who waits for what: the queues of a dispatch and the order in which blocks become ready."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldwright.planning.begun import Begun
from mouldwright.planning.problem import Problem
from mouldwright.planning.routing import BATCH, NEVER, ORDER, PART, UNIT, Block, Routing
from mouldwright.planning.shapes import ALL, Shape, lay_out

if TYPE_CHECKING:
    from mouldwright.planning.bench import Bench


@dataclass(frozen=True, slots=True, kw_only=True)
class Queue:
    """One place where ready work waits: a block of a lot, or the upkeep of a mould family.

    Attributes:
        lot: Index of the lot; -1 for upkeep.
        block: The block; None for upkeep.
        family: Index of the mould family, for upkeep.
        crew: Who its first task needs; -1 for nobody.
    """

    lot: int
    block: Block | None
    family: int
    crew: int


class Queues:
    """The queues of a problem, by index, and how finishing one block readies another.

    Attributes:
        all: Every queue: the blocks of every lot in turn, then upkeep by family.
        base: Index of the first queue of each lot.
        upkeep_base: Index of the first upkeep queue.
        by_crew: Queues whose first task needs that crew.
        by_tool_family: Queues that take a mould of that family.
        by_place: Queues that take or occupy that station.
        same_routing: For each lot, the lots that may share its batches, itself left out.
    """

    def __init__(self, problem: Problem) -> None:
        """Lay the queues out."""
        self.problem = problem
        found: list[Queue] = []
        self.base: list[int] = []
        self.by_crew: list[list[int]] = [[] for _ in problem.crews]
        self.by_tool_family: list[list[int]] = [[] for _ in problem.families]
        self.by_place: list[list[int]] = [[] for _ in problem.places]
        for lot in problem.lots:
            self.base.append(len(found))
            for block in problem.routings[lot.routing].blocks:
                q = len(found)
                crew = block.steps[0].crew
                found.append(Queue(lot=lot.index, block=block, family=-1, crew=crew))
                if crew >= 0:
                    self.by_crew[crew].append(q)
                if block.takes_mould:
                    for family in {problem.tools[t].family for t in lot.tools}:
                        self.by_tool_family[family].append(q)
                for place in block.stations:
                    self.by_place[place].append(q)
        self.upkeep_base = len(found)
        for f in range(len(problem.families)):
            step = self.conditioning_of(f)
            crew = -1 if step is None or step.conditioning is None else step.conditioning.crew
            if crew >= 0:
                self.by_crew[crew].append(len(found))
            found.append(Queue(lot=-1, block=None, family=f, crew=crew))
        self.all = tuple(found)
        self._begun: Begun | None = None
        self.same_routing = [
            tuple(
                other.index
                for other in problem.lots
                if other.routing == lot.routing
                and other.index != lot.index
                and min(other.order, lot.order) >= 0
            )
            for lot in problem.lots
        ]
        self._shapes: dict[
            tuple[int, int, tuple[int, ...], int, frozenset[tuple[int, int, int]]], Shape
        ] = {}

    def begun(self, bench: Bench) -> Begun:
        """Return what is under way, read when it is first asked for; any bench will do."""
        if self._begun is None:
            self._begun = Begun(self.problem, self, bench)
        return self._begun

    def conditioning_of(self, family: int) -> Routing | None:
        """Return the routing that conditions a family's moulds; None where none does."""
        key = self.problem.families[family].process
        for routing in self.problem.routings:
            if routing.key == key and routing.conditioning is not None:
                return routing
        return None

    def items_in(self, lot: int, block: Block) -> int:
        """Return how many times a lot's block is placed, a batch counted by its units."""
        facts = self.problem.lots[lot]
        if block.level == ORDER:
            return 1
        return facts.units * (facts.cavities if block.level == PART else 1)

    def wears(self, q: int) -> bool:
        """Return whether what waits there is on moulds that wear out."""
        queue = self.all[q]
        if queue.block is None or queue.block.level != UNIT or queue.block.takes_mould:
            return False
        lot = self.problem.lots[queue.lot]
        keeps = self.problem.routings[lot.routing].keeps
        return any(keeps[k].station < 0 for k in queue.block.steps[0].within) and any(
            self.problem.tools[t].life_left < NEVER for t in lot.tools
        )

    def missing(self, lot: int, block: Block) -> int:
        """Return how many placings of earlier blocks one placing of a block waits for."""
        facts = self.problem.lots[lot]
        blocks = self.problem.routings[facts.routing].blocks
        count = 0
        for p in block.preds:
            level = blocks[p].level
            if level == ORDER:
                count += 1
            elif block.level == ORDER:
                count += facts.units * (facts.cavities if level == PART else 1)
            elif level == PART and block.level != PART:
                count += facts.cavities
            else:
                count += 1
        return count

    def followers(self, lot: int, done: Block, unit: int, part: int, block: Block) -> range:
        """Return which placings of a later block a placing of an earlier one is waited for by."""
        facts = self.problem.lots[lot]
        if block.level == ORDER:
            return range(1)
        if done.level == ORDER:
            return range(self.items_in(lot, block))
        if block.level == PART:
            first = unit * facts.cavities
            if done.level == PART:
                return range(first + part, first + part + 1)
            return range(first, first + facts.cavities)
        return range(unit, unit + 1)

    def item(self, lot: int, block: Block, index: int) -> tuple[int, int, int]:
        """Return the lot, unit and part of a block's placing."""
        if block.level == ORDER:
            return lot, ALL, ALL
        if block.level == PART:
            cavities = self.problem.lots[lot].cavities
            return lot, index // cavities, index % cavities
        return lot, index, ALL

    def members(self, lot: int, block: Block, index: int) -> tuple[tuple[int, int, int], ...]:
        """Return the members of a placing that is no batch."""
        if block.level == ORDER and any(s.level != ORDER for s in block.steps):
            return tuple((lot, unit, ALL) for unit in range(self.problem.lots[lot].units))
        return (self.item(lot, block, index),)

    def shape(self, block: Block, members: tuple[tuple[int, int, int], ...]) -> Shape:
        """Return the tasks of a block for those members."""
        lots = self.problem.lots
        part = members[0][2] if block.level == PART else ALL
        cavities = tuple([lots[m[0]].cavities for m in members])
        passed = self._passed(block, members) if lots[members[0][0]].skips else frozenset()
        key = (lots[members[0][0]].routing, block.index, cavities, part, passed)
        if key not in self._shapes:
            self._shapes[key] = lay_out(
                block, cavities, only_part=None if part == ALL else part, passed=passed
            )
        return self._shapes[key]

    def passes(self, lot: int, block: Block, index: int) -> bool:
        """Return whether none of a block's steps is done to one of its placings."""
        if not self.problem.lots[lot].skips:
            return False
        if block.level == BATCH:
            return not self.shape(block, ((lot, index, ALL),))
        return not self.shape(block, self.members(lot, block, index))

    def _passed(
        self, block: Block, members: tuple[tuple[int, int, int], ...]
    ) -> frozenset[tuple[int, int, int]]:
        """Return the steps of a block that members pass by: step, place of the member, part."""
        found = []
        for place, (lot, unit, part) in enumerate(members):
            facts = self.problem.lots[lot]
            for step in block.steps if facts.skips else ():
                passing = facts.skips[step.index]
                if step.level == PART and passing:
                    first = unit * facts.cavities
                    parts = range(facts.cavities) if part == ALL else (part,)
                    found += [(step.index, place, j) for j in parts if first + j in passing]
                elif unit in passing:
                    found.append((step.index, place, ALL))
        return frozenset(found)
