"""One dispatch: ready work is started in the order of the clock, by rank where it competes.

Among the blocks that can start soonest the one of the best rank is placed; the
others are looked at again. What cannot start because a mould or station is kept sleeps
until it is given back.
"""

from __future__ import annotations

from bisect import insort
from heapq import heapify, heappop, heappush

from mouldwright.planning.batching import Batching
from mouldwright.planning.bench import Bench
from mouldwright.planning.held import Holds
from mouldwright.planning.placed import Item, Placed, Progress
from mouldwright.planning.placing import BLOCKED, GAVE_UP, LATE, PUSHED, Placer
from mouldwright.planning.policy import Deviation, Policy
from mouldwright.planning.problem import Problem
from mouldwright.planning.queues import Queue, Queues
from mouldwright.planning.routing import BATCH, NEVER, ORDER, Block
from mouldwright.planning.shapes import Shape
from mouldwright.planning.underway import Underway
from mouldwright.planning.upkeep import Upkeep

# How often the tasks of a block that must fit are held back before it is called impossible.
LAST_LIMIT = 4000


class HorizonTooShort(Exception):
    """The known hours ended before the last task was placed."""


class Stuck(Exception):
    """Work is left but everything it needs is kept by other work that is left."""


class CutOff(Exception):
    """The plan being built is already worse than one that is known."""


class Unplaceable(Exception):
    """A block fits nowhere, even alone.

    Attributes:
        lot: Index of its lot.
        block: The block.
    """

    def __init__(self, lot: int, block: Block) -> None:
        """Remember what could not be placed."""
        self.lot, self.block = lot, block
        super().__init__(" to ".join(dict.fromkeys((block.steps[0].name, block.steps[-1].name))))


class Dispatch:
    """Builds one plan under one policy.

    Attributes:
        tasks: What was placed, in the order of placing.
        finish: When each lot's last task ends.
        decisions: How many blocks were placed.
    """

    def __init__(
        self,
        problem: Problem,
        queues: Queues,
        policy: Policy,
        worst: tuple[int, ...] | None = None,
    ) -> None:
        """Begin with nothing placed but what is under way."""
        self.problem, self.queues, self.policy, self.worst = problem, queues, policy, worst
        self.late = self.decisions = 0
        self.bench = Bench(problem)
        self.progress = Progress(problem)
        self.placer = Placer(problem, self.bench, self.progress)
        self.tasks: list[Placed] = []
        self.finish = [0] * len(problem.lots)
        count = len(queues.all)
        # A lower bound on when the head of each queue can start.
        self.next_try = [NEVER] * count
        self.waiting: list[list[tuple[int, int]]] = [[] for _ in range(count)]
        self.by_rank = sorted(range(count), key=lambda q: policy.rank[q])
        self.missing: list[list[list[int]]] = []
        self.left: list[int] = []
        self.batches: list[tuple[Item, ...]] = []
        self.unformed: list[int] = []
        self.moulded = [0] * len(problem.lots)
        for lot in problem.lots:
            blocks = problem.routings[lot.routing].blocks
            self.missing.append(
                [[queues.missing(lot.index, b)] * queues.items_in(lot.index, b) for b in blocks]
            )
            self.left.append(sum(queues.items_in(lot.index, b) for b in blocks))
            self.unformed.append(lot.units)
        self.remaining = sum(self.left)
        # Queues of pulls on moulds that wear out: which goes first may decide when all is done.
        self.by_life = [queues.wears(q) for q in range(count)]
        self.underway = Underway(self)
        self.batching = Batching(self)
        Holds(self, self.underway).take()
        self.upkeep = Upkeep(self)

    def run(self) -> list[Placed]:
        """Place everything.

        Raises:
            HorizonTooShort: if hours must be laid out further.
            Stuck: if work waits for each other in a ring.
            Unplaceable: if a block fits nowhere.
            CutOff: once the plan is sure to be worse than the worst that is wanted.
        """
        self._begin()
        next_try, by_rank, plain = self.next_try, self.by_rank, self.policy.slack_min
        deviations = {d.decision: d for d in self.policy.deviations}
        whole = self.policy.whole or (False,) * len(by_rank)
        while self.remaining:
            first = min(next_try)
            if first >= NEVER:
                raise HorizonTooShort if self.bench.horizon_hit else Stuck
            deviation = deviations.get(self.decisions) if deviations else None
            if deviation is not None:
                self._attempt_otherwise(deviation, first, whole)
                continue
            limit = first + plain
            for q in by_rank:
                if next_try[q] <= limit:
                    self.bench.whole = whole[q]
                    self._attempt(q, limit)
                    break
        return self.tasks

    def _begin(self) -> None:
        """Count what is over, finish what has begun, and ready what waits for nothing."""
        self.underway.open()
        for lot in self.problem.lots:
            if not lot.after_lots:
                self._open_lot(lot.index, 0)

    def _attempt_otherwise(self, deviation: Deviation, first: int, whole: tuple[bool, ...]) -> None:
        """Attempt another candidate than the one of the best rank."""
        limit = first + deviation.slack_min
        able = [q for q in self.by_rank if self.next_try[q] <= limit]
        q = able[min(deviation.skip, len(able) - 1)]
        self.bench.whole = whole[q] != deviation.turn_whole
        self.bench.without = deviation.without
        self._attempt(q, limit)
        self.bench.without = -1

    # Trying.

    def _attempt(self, q: int, limit: int) -> None:
        """Place the head of a queue if it can start by ``limit``, else note when it might."""
        queue, earliest = self.queues.all[q], self.next_try[q]
        if queue.crew >= 0:
            free = self.bench.crew_free(queue.crew, earliest)
            if free > limit:
                if free >= NEVER:
                    self.bench.horizon_hit = True
                for other in self.queues.by_crew[queue.crew]:
                    if self.next_try[other] < free:
                        self.next_try[other] = free
                return
        if queue.block is None:
            self.upkeep.attempt(q, earliest, limit)
        elif self.policy.careful and self.progress.on and self._opens(queue.block):
            self.next_try[q] = NEVER
        elif queue.block.level == BATCH and queue.block.forms >= 0:
            self.batching.attempt(q, queue, queue.block, limit)
        else:
            self._attempt_single(q, queue, queue.block, limit)

    def _opens(self, block: Block) -> bool:
        return block.takes_mould or any(step.starts_holds for step in block.steps)

    def _attempt_single(self, q: int, queue: Queue, block: Block, limit: int) -> None:
        waiting = self.waiting[q]
        chosen = ready, index = waiting[0]
        if len(waiting) > 1 and self.policy.lasting_first and self.by_life[q]:
            chosen = ready, index = self._longest_lived(queue.lot, waiting, limit)
        batch = -1
        if block.level == BATCH:
            members, batch = self.batches[index], index
        else:
            members = self.queues.members(queue.lot, block, index)
        earliest = ready if block.steps[0].exact else max(ready, self.next_try[q])
        shape = self.queues.shape(block, members)
        placed = self.placer.place(shape, members, earliest, batch=batch, give_up_after=limit)
        if placed is None and self.placer.outcome == GAVE_UP:
            placed = self.placer.place(
                shape, members, earliest, batch=batch, give_up_after=limit, limit=LAST_LIMIT
            )
        if placed is None:
            self.put_off(q, queue, block)
            return
        if chosen == waiting[0]:
            heappop(waiting)
        else:
            waiting.remove(chosen)
            heapify(waiting)
        self.commit(queue, block, members, placed, index if batch >= 0 else -1)
        self.next_try[q] = max(waiting[0][0], earliest) if waiting else NEVER

    def _longest_lived(
        self, lot: int, waiting: list[tuple[int, int]], limit: int
    ) -> tuple[int, int]:
        """Return whichever of the ready units has the mould with most pulls left to do."""
        tools, left = self.progress.tool_of[lot], self.bench.tool_left
        ready = [entry for entry in waiting if entry[0] <= limit] or waiting[:1]
        return min(ready, key=lambda entry: (-left[tools[entry[1]]], entry))

    def put_off(self, q: int, queue: Queue, block: Block) -> None:
        """Note when to look again at a queue whose head was not placed."""
        if self.placer.outcome in (LATE, PUSHED):
            self.next_try[q] = self.placer.first_start
        elif self.placer.outcome == BLOCKED:
            self.next_try[q] = NEVER
        else:
            raise Unplaceable(queue.lot, block)

    # Keeping.

    def commit(
        self,
        queue: Queue,
        block: Block,
        members: tuple[Item, ...],
        placed: list[Placed],
        batch: int,
    ) -> None:
        """Keep a placed block and ready what waited for it."""
        self.placer.settle(placed)
        self.decisions += 1
        self.tasks += placed
        end = placed[-1].end if len(placed) == 1 else max([task.end for task in placed])
        self._wake(placed)
        if block.takes_mould and any(task.step.starts_holds for task in placed):
            for lot, _, _ in members:
                self.moulded[lot] += 1
            self.upkeep.mould_taken(members)
        for lot, unit, part in members[:1] if block.level == ORDER else members:
            self.finished(lot, block, unit, part, end)
        blocks = self.problem.routings[self.problem.lots[queue.lot].routing].blocks
        following = block.index + 1
        if batch >= 0 and following < len(blocks) and blocks[following].follows >= 0:
            self.push(self.queues.base[members[0][0]] + following, end, batch)

    def finished(self, lot: int, block: Block, unit: int, part: int, end: int) -> None:
        """Count a block as done for one of its members and ready what waited for it."""
        if end > self.finish[lot]:
            self.finish[lot] = end
        self.left[lot] -= 1
        self.remaining -= 1
        for later in self.problem.routings[self.problem.lots[lot].routing].blocks[
            block.index + 1 :
        ]:
            if block.index in later.preds and later.follows < 0:
                for index in self.queues.followers(lot, block, unit, part, later):
                    self._less(lot, later, index)
        if not self.left[lot]:
            self._close_lot(lot)

    def finish_begun(
        self,
        lot: int,
        block: Block,
        members: tuple[Item, ...],
        unfinished: tuple[Item, ...],
        rest: Shape,
    ) -> None:
        """Place what is left of a block that had begun before the plan."""
        placed = self.placer.place(
            rest, members, 0, batch=-1, give_up_after=NEVER, limit=LAST_LIMIT
        )
        if placed is None:
            raise Unplaceable(lot, block)
        if block.forms >= 0:
            for member_lot, _, _ in unfinished:
                self.unformed[member_lot] -= 1
        batch = -1
        if block.level == BATCH:
            self.batches.append(members)
            batch = len(self.batches) - 1
        queue = self.queues.all[self.queues.base[lot] + block.index]
        self.commit(queue, block, unfinished, placed, batch)

    def _less(self, lot: int, block: Block, index: int) -> None:
        """Count one thing less that a placing of a block waits for."""
        missing = self.missing[lot][block.index]
        missing[index] -= 1
        if missing[index] == 0 and (lot, block.index, index) not in self.underway.done:
            self._ready(lot, block, index)

    def _ready(self, lot: int, block: Block, index: int) -> None:
        members = (
            ((lot, index, -1),) if block.level == BATCH else self.queues.members(lot, block, index)
        )
        shape = self.queues.shape(block, members)
        if not shape:
            self._pass_by(lot, block, index)
            return
        ready = self.placer.outer_end(shape[0], members)
        self.push(self.queues.base[lot] + block.index, ready, index)

    def _pass_by(self, lot: int, block: Block, index: int) -> None:
        """Count a block as done for one that none of its steps is done to."""
        _, unit, part = self.queues.item(lot, block, index)
        if block.forms >= 0:
            self.unformed[lot] -= 1
        self.finished(lot, block, unit, part, self.placer.end_past(lot, block, unit, part))
        blocks = self.problem.routings[self.problem.lots[lot].routing].blocks
        following = block.index + 1
        if following < len(blocks) and blocks[following].follows >= 0:
            # It has no batch to follow: it goes on by itself, or passes this by too.
            if self.queues.shape(blocks[following], ((lot, unit, -1),)):
                self.batches.append(((lot, unit, -1),))
                end = self.placer.end_past(lot, blocks[following], unit, part)
                self.push(self.queues.base[lot] + following, end, len(self.batches) - 1)
            else:
                self._pass_by(lot, blocks[following], unit)

    def push(self, q: int, ready: int, index: int) -> None:
        """Put a placing (or a batch) into a queue."""
        ready = max(ready, 0)
        block = self.queues.all[q].block
        if block is not None and block.level == BATCH and block.forms >= 0:
            insort(self.waiting[q], (ready, index))
        else:
            heappush(self.waiting[q], (ready, index))
        if ready < self.next_try[q]:
            self.next_try[q] = ready

    def _open_lot(self, lot: int, earliest: int) -> None:
        """Ready what waits for nothing."""
        gate = max(self.policy.gate[lot], self.problem.lots[lot].release, earliest)
        passing: list[tuple[Block, int]] = []
        for block in self.problem.routings[self.problem.lots[lot].routing].blocks:
            if block.preds or block.follows >= 0:
                continue
            q = self.queues.base[lot] + block.index
            done = self.underway.done
            self.waiting[q] = [
                (gate, i)
                for i in range(self.queues.items_in(lot, block))
                if not done or (lot, block.index, i) not in done
            ]
            if self.problem.lots[lot].skips:
                idle = [i for _, i in self.waiting[q] if self.queues.passes(lot, block, i)]
                passing += [(block, i) for i in idle]
                self.waiting[q] = [w for w in self.waiting[q] if w[1] not in idle]
            self.next_try[q] = gate if self.waiting[q] else NEVER
        for block, i in passing:
            self._pass_by(lot, block, i)

    def _close_lot(self, lot: int) -> None:
        """Hand on what a finished lot was waited for: a mould it makes, a set it is part of."""
        facts = self.problem.lots[lot]
        if self.worst is not None and facts.order >= 0:
            self._cut_off(facts.order)
        if facts.builds >= 0:
            self.upkeep.mould_made(facts.builds, self.finish[lot])
        for other in self.problem.lots:
            if lot in other.after_lots and not any(self.left[p] for p in other.after_lots):
                self._open_lot(other.index, max(self.finish[p] for p in other.after_lots))

    def _cut_off(self, order: int) -> None:
        """Give up once what is finished is already later than the worst that is wanted."""
        demand = self.problem.demands[order]
        if self.worst is None or any(self.left[lot] for lot in demand.lots):
            return
        finish = max(self.finish[lot] for lot in demand.lots)
        if demand.due is not None:
            self.late += demand.weight * max(0, finish - demand.due)
        if (self.late, finish) > self.worst[:2]:
            raise CutOff

    def wake(self, queues: list[int], minute: int) -> None:
        """Look again at queues for which something was given back."""
        for q in queues:
            waiting = self.waiting[q]
            if waiting:
                at = max(waiting[0][0], minute)
                if at < self.next_try[q]:
                    self.next_try[q] = at

    def _wake(self, placed: list[Placed]) -> None:
        for task in placed:
            step = task.step
            if not (step.starts_holds or step.ends_holds):
                continue
            keeps = self.problem.routings[self.problem.lots[task.lot].routing].keeps
            for k in step.ends_holds:
                if keeps[k].station >= 0:
                    self.wake(self.queues.by_place[keeps[k].station], task.end)
                    continue
                for lot, unit, _ in task.items:
                    tool = self.progress.tool_of[lot][unit]
                    if self.bench.tool_free[tool] < NEVER:
                        self.upkeep.mould_freed(tool)
