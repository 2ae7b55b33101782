"""Forming batches: who goes in, and whether to wait for more."""

from __future__ import annotations

from bisect import bisect_right
from heapq import nsmallest
from typing import TYPE_CHECKING

from mouldwright.planning.placed import Item, Placed
from mouldwright.planning.placing import LATE
from mouldwright.planning.queues import Queue
from mouldwright.planning.routing import NEVER, Block

if TYPE_CHECKING:
    from mouldwright.planning.construct import Dispatch

# How often the tasks of a lone member are held back before it is called impossible.
LAST_LIMIT = 4000


class Batching:
    """Forms the batches of a dispatch."""

    def __init__(self, dispatch: Dispatch) -> None:
        """Work on that dispatch."""
        self.dispatch = dispatch

    def attempt(self, q: int, queue: Queue, block: Block, limit: int) -> None:
        """Form a batch of what is ready, or wait a while for more."""
        lot, pool = queue.lot, self.dispatch.waiting[q]
        target = (
            1 if self.dispatch.policy.careful else max(self.dispatch.policy.batch_target[lot], 1)
        )
        lots = (lot, *self.dispatch.queues.same_routing[lot])
        pools = [self.dispatch.waiting[self.dispatch.queues.base[o] + block.index] for o in lots]
        ready = sum(bisect_right(each, (limit, NEVER)) for each in pools)
        wanted = min(target, sum(self.dispatch.unformed[other] for other in lots))
        if ready < wanted and any(
            self._more_to_come(other, block, len(each), limit)
            for other, each in zip(lots, pools, strict=True)
        ):
            patient = pool[0][0] + self.dispatch.policy.patience_min[lot]
            if limit < patient:
                coming = nsmallest(wanted, (at for each in pools for at, _ in each))
                known = coming[wanted - 1] if len(coming) >= wanted else NEVER
                self.dispatch.next_try[q] = min(patient, max(known, limit + 1))
                return
        members = self._choose(q, lot, block, target, limit)
        earliest = 0 if block.steps[0].exact else self.dispatch.next_try[q]
        fitted = self._largest(block, members, earliest, limit)
        if fitted is None:
            self.dispatch.put_off(q, queue, block)
            return
        members, placed = fitted
        taken: dict[int, set[int]] = {}
        for member_lot, unit, _ in members:
            taken.setdefault(member_lot, set()).add(unit)
        for member_lot, units in taken.items():
            other = self.dispatch.queues.base[member_lot] + block.index
            self.dispatch.waiting[other] = [
                w for w in self.dispatch.waiting[other] if w[1] not in units
            ]
            self.dispatch.unformed[member_lot] -= len(units)
            rest = self.dispatch.waiting[other]
            self.dispatch.next_try[other] = max(rest[0][0], earliest) if rest else NEVER
        self.dispatch.batches.append(members)
        self.dispatch.commit(queue, block, members, placed, len(self.dispatch.batches) - 1)

    def _largest(
        self, block: Block, members: tuple[Item, ...], earliest: int, limit: int
    ) -> tuple[tuple[Item, ...], list[Placed]] | None:
        """Return the most of the members that fit together by ``limit``, and their tasks."""
        fits, fails = 0, len(members) + 1
        trial, placed = len(members), None
        while True:
            placed = self.dispatch.placer.place(
                self.dispatch.queues.shape(block, members[:trial]),
                members[:trial],
                earliest,
                batch=len(self.dispatch.batches),
                give_up_after=limit,
                limit=LAST_LIMIT if trial == 1 else 12,
            )
            if placed is None:
                if trial == 1 or self.dispatch.placer.outcome == LATE:
                    return None
                fails = trial
            elif trial + 1 == fails:
                return members[:trial], placed
            else:
                fits = trial
                self.dispatch.placer.take_back()
            trial = (fits + fails) // 2 if fails - fits > 1 else fits or 1

    def _more_to_come(self, lot: int, block: Block, in_pool: int, limit: int) -> bool:
        """Return whether more of a lot's units can reach a batch while this one waits."""
        if self.dispatch.unformed[lot] <= in_pool:
            return False
        facts = self.dispatch.problem.lots[lot]
        if not facts.tools:
            return True
        formed = facts.units - self.dispatch.unformed[lot]
        if self.dispatch.moulded[lot] > formed + in_pool:
            return True
        return self.dispatch.moulded[lot] < facts.units and any(
            self.dispatch.bench.tool_free[t] <= limit and self.dispatch.bench.tool_left[t] > 0
            for t in facts.tools
        )

    def _choose(self, q: int, lot: int, block: Block, target: int, limit: int) -> tuple[Item, ...]:
        """Return the members of a batch: the lot's own first, then other lots' of the same work."""
        limits = self.dispatch.problem.routings[self.dispatch.problem.lots[lot].routing].limits[
            block.forms
        ]
        mixes = [s.index for s in block.steps if s.operation.material]
        members: list[Item] = []
        parts = mass = matrix = 0
        lots = (
            lot,
            *sorted(self.dispatch.queues.same_routing[lot], key=lambda o: self._rank(o, block)),
        )
        for other in lots:
            facts = self.dispatch.problem.lots[other]
            for ready, unit in self.dispatch.waiting[
                self.dispatch.queues.base[other] + block.index
            ]:
                if len(members) >= min(target, limits.units):
                    return tuple(members)
                if ready > limit:
                    break
                more = max((facts.matrix_ug.get(m, 0) for m in mixes), default=0)
                if (
                    parts + facts.cavities > limits.parts
                    or mass + facts.loads_ug[block.forms] > limits.mass_ug
                    or matrix + more > limits.mixed_ug
                ):
                    break
                parts, mass, matrix = (
                    parts + facts.cavities,
                    mass + facts.loads_ug[block.forms],
                    matrix + more,
                )
                members.append((other, unit, -1))
        return tuple(members)

    def _rank(self, lot: int, block: Block) -> int:
        return self.dispatch.policy.rank[self.dispatch.queues.base[lot] + block.index]
