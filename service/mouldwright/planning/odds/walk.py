"""A network walked once for many runs side by side, each task as soon as its turn comes.

Nothing is known ahead: whether a task that cannot pause still fits before closing is judged
by its planned minutes, and what then takes longer runs on past closing. Tasks tied by a
greatest wait, a pot life or a start that may not wait begin only when, by planned minutes,
all of them can follow in time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from mouldwright.domain.estimate import Floats
from mouldwright.planning.odds.calendars import Calendar
from mouldwright.planning.odds.lots import LotFacts
from mouldwright.planning.odds.network import AT_ONCE, USED_UP, Node
from mouldwright.planning.odds.outcomes import NEVER_LOST, NOT_BEGUN, LotOutcome
from mouldwright.planning.odds.times import Times
from mouldwright.planning.problem import Problem
from mouldwright.planning.shapes import ALL

# How often tied tasks are held back before they are begun all the same.
_MOST_PUSHES = 12
_SLACK = 1e-6
# How many tasks yet to come are looked through for how late things are.
_FURTHEST_BACK = 4

Bools = NDArray[np.bool_]


class Walk:
    """One walk of a network.

    Attributes:
        ends: End of every node (rows) in every run, in minutes from now.
        passed: Runs in which a greatest wait or a pot life was passed, by process and operation.
    """

    def __init__(
        self,
        problem: Problem,
        facts: Sequence[LotFacts],
        nodes: Sequence[Node],
        calendars: Sequence[Calendar],
        outcomes: dict[int, LotOutcome],
        times: Times,
    ) -> None:
        """Prepare to walk for as many runs as there are common scores."""
        self.problem, self.facts, self.nodes = problem, facts, nodes
        self.calendars, self.outcomes, self.times = calendars, outcomes, times
        self.runs = len(times.common)
        self.ends = np.zeros((len(nodes) + 1, self.runs))
        self.passed: dict[tuple[str, str], Bools] = {}
        self._walked = np.zeros(len(nodes), dtype=np.bool_)
        self._left_out: dict[int, Bools] = {}
        self._held: dict[int, Floats] = {}
        self._blocks: dict[int, list[int]] = {}
        self._rows: dict[tuple[int, tuple[int, ...]], NDArray[np.int64]] = {}

    def go(self, order: Sequence[int], cancelled: Callable[[], bool] | None = None) -> bool:
        """Walk the nodes in that order; False where it was cancelled on the way."""
        for i in order:
            if self.nodes[i].block >= 0:
                self._blocks.setdefault(self.nodes[i].block, []).append(i)
        begun: set[int] = set()
        for count, i in enumerate(order):
            if cancelled is not None and count % 64 == 0 and cancelled():
                return False
            node = self.nodes[i]
            if node.is_fixed:
                self.ends[i] = node.end
                self._walked[i] = True
                continue
            if node.block >= 0 and node.block not in begun:
                begun.add(node.block)
                self._look_ahead(self._blocks[node.block])
            self._take(i, node)
            self._walked[i] = True
        return True

    # One task.

    def _take(self, i: int, node: Node) -> None:
        kept = self._kept(node)
        ready = np.maximum(self._ready(node), kept)
        if i in self._held:
            ready = np.maximum(ready, self._held.pop(i))
        work = self.times.minutes(node)
        start = self._start(node, ready, node.work)
        end = self._end(node, start, float(node.work) if work is None else work)
        skipped, lost = self._not_done(node)
        if skipped is not None:
            # What is not needed in a run keeps nobody waiting.
            end = np.where(skipped, 0.0, end)
        if lost is not None:
            end = np.where(lost, ready, end)
        left_out = _either(skipped, lost)
        if left_out is not None:
            self._left_out[i] = left_out
        self.ends[i] = end
        self._judge_ties(node, start, end, left_out)

    def _ready(self, node: Node) -> Floats:
        ready = np.full(self.runs, float(node.release))
        if node.gathers:
            for lot, ended in node.gathers:
                ready = np.maximum(ready, self.enough(lot, ended))
            return ready + node.step.wait_min
        for wait, rows in _by_wait(node.preds):
            ready = np.maximum(ready, self.ends[rows].max(axis=0) + wait)
        return ready

    def _kept(self, node: Node) -> Floats:
        """Return when the people, mould and units a node needs are free."""
        kept = np.full(self.runs, float(node.lead))
        for wait, rows in _by_wait(node.after):
            kept = np.maximum(kept, self.ends[rows].max(axis=0) + wait)
        return kept

    def _start(self, node: Node, ready: Floats, work: float) -> Floats:
        if node.calendar < 0:
            return ready
        calendar = self.calendars[node.calendar]
        # Gearing up before it and cleaning down after it lie in open time too.
        if node.step.interruptible:
            return calendar.start_open(ready - node.lead) + node.lead
        return calendar.start_whole(ready - node.lead, node.lead + work + node.tail) + node.lead

    def _end(self, node: Node, start: Floats, work: Floats | float) -> Floats:
        if node.step.interruptible and node.calendar >= 0:
            return self.calendars[node.calendar].end_paused(start, work)
        return start + work

    def _judge_ties(self, node: Node, start: Floats, end: Floats, left_out: Bools | None) -> None:
        for p, most, how in node.ties:
            if how == AT_ONCE:
                continue
            late = (end if how == USED_UP else start) > self.ends[p] + most + _SLACK
            if left_out is not None:
                late &= ~left_out
            if p in self._left_out:
                late &= ~self._left_out[p]
            if late.any():
                routing = self.problem.routings[self.problem.lots[node.lot].routing]
                place = (routing.key, node.step.name)
                before = self.passed.get(place)
                self.passed[place] = late if before is None else before | late

    # What is not done.

    def _not_done(self, node: Node) -> tuple[Bools | None, Bools | None]:
        """Return the runs in which a node is not needed, and those in which its parts are lost."""
        skipped: Bools | None = None
        if node.waits_for_again or node.is_again:
            short = self._was_short(node.lot)
            skipped = short if node.waits_for_again else ~short
        if node.lot < 0 or node.is_again:
            return skipped, None
        lost: Bools | None = None
        for item in node.items:
            outcome = self.outcomes.get(item[0])
            if outcome is None:
                return skipped, None
            rows = self._parts(item)
            gone = outcome.lost_at[rows]
            if node.remade >= 0:
                unneeded = np.all(gone == NOT_BEGUN, axis=0)
                skipped = unneeded if skipped is None else skipped | unneeded
            gone_here = np.all(gone < node.step.index, axis=0)
            lost = gone_here if lost is None else lost & gone_here
        if lost is None or not lost.any():
            return skipped, None
        # What was begun in a mould or a press is taken out of it all the same.
        for first in node.held_since:
            lost &= self._left_out.get(first, np.zeros(self.runs, dtype=np.bool_))
        return skipped, lost

    def _parts(self, item: tuple[int, int, int]) -> slice:
        cavities = self.problem.lots[item[0]].cavities
        if item[1] == ALL:
            return slice(0, self.problem.lots[item[0]].units * cavities)
        first = item[1] * cavities
        if item[2] == ALL:
            return slice(first, first + cavities)
        return slice(first + item[2], first + item[2] + 1)

    def _was_short(self, lot: int) -> Bools:
        short = np.zeros(self.runs, dtype=np.bool_)
        for behind in (lot, *self.facts[lot].waits_for):
            if behind in self.outcomes:
                short |= self.outcomes[behind].was_short
        return short

    # Enough good parts.

    def finish(self, lot: int) -> Floats:
        """Return when a lot is finished in each run."""
        return self.enough(lot, self.facts[lot].ends)

    def enough(self, lot: int, ended: Sequence[int]) -> Floats:
        """Return when enough good parts of a lot have been through some of its steps."""
        facts = self.facts[lot]
        if set(ended) & facts.late:
            return self._last_of(lot, set(ended))
        rows = self._rows_of(lot, tuple(ended))
        outcome = self.outcomes.get(lot)
        ends: Floats = self.ends[rows].max(axis=1)
        if outcome is not None:
            good = outcome.lost_at[: len(ends)] == NEVER_LOST
            ends = np.where(good, ends, np.inf)
        # What was lost, dropped or is a second counts for nothing, whether anything is drawn.
        out = [*facts.lot.ended, *facts.lot.seconds]
        ends[out] = np.inf
        if not facts.needed or (outcome is None and not out and facts.needed >= len(ends)):
            whole: Floats = ends.max(axis=0)
            return whole
        place = min(facts.needed, len(ends)) - 1
        found: Floats = np.partition(ends, place, axis=0)[place]
        return found

    def _last_of(self, lot: int, ended: set[int]) -> Floats:
        """Return the end of the last node of some steps that was really done."""
        latest = np.full(self.runs, -np.inf)
        for i, node in enumerate(self.nodes):
            if node.lot == lot and node.step.index in ended:
                left_out = self._left_out.get(i)
                done = (
                    self.ends[i] if left_out is None else np.where(left_out, -np.inf, self.ends[i])
                )
                latest = np.maximum(latest, done)
        return latest

    def _rows_of(self, lot: int, ended: tuple[int, ...]) -> NDArray[np.int64]:
        """Return, for each part of a lot, the rows of the nodes it ends with."""
        known = self._rows.get((lot, ended))
        if known is not None:
            return known
        shape = self.problem.lots[lot]
        remade = max((n.remade + 1 for n in self.nodes if n.lot == lot), default=0)
        none = len(self.nodes)
        rows = np.full(((shape.units + remade) * shape.cavities, len(ended)), none, dtype=np.int64)
        place = {step: column for column, step in enumerate(ended)}
        steps = self.problem.routings[shape.routing].steps
        wanted = list(ended)
        while wanted:
            step = wanted.pop()
            for i, node in enumerate(self.nodes):
                if node.is_again or node.step.index != step:
                    continue
                for item in node.items:
                    if item[0] == lot:
                        rows[self._parts(item), place[step]] = i
            # Parts that passed a step by end with what was before it.
            for before in steps[step].preds:
                if (rows[:, place[step]] == none).any() and before not in place:
                    place[before] = rows.shape[1]
                    rows = np.hstack([rows, np.full((len(rows), 1), none, dtype=np.int64)])
                    wanted.append(before)
        self._rows[lot, ended] = rows
        return rows

    # Tied tasks.

    def _look_ahead(self, block: Sequence[int]) -> None:
        """Hold back the tasks of a block by what their greatest waits would otherwise miss."""
        inside = set(block)
        if not any(p in inside for i in block for p, _, _ in self.nodes[i].ties):
            return
        ready: dict[int, Floats] = {}
        allowed: dict[int, Floats] = {}
        for i in block:
            node = self.nodes[i]
            outer = [(p, wait) for p, wait in node.preds if p not in inside]
            after = [(p, wait) for p, wait in node.after if p not in inside]
            at = np.full(self.runs, float(node.release))
            if node.gathers:
                at = self._ready(node)
            for wait, rows in _by_wait(outer):
                at = np.maximum(at, self.ends[rows].max(axis=0) + wait)
            allowed[i] = at
            for p, wait in after:
                at = np.maximum(at, self._expected_end(p) + wait)
            ready[i] = at
        which = np.arange(self.runs)
        held = {i: ready[i].copy() for i in block}
        for _ in range(_MOST_PUSHES):
            least = {i: held[i][which] for i in block}
            pushed = self._expect(block, inside, least, {i: allowed[i][which] for i in block})
            late = np.zeros(len(which), dtype=np.bool_)
            for i, back in pushed.items():
                more = back > held[i][which] + _SLACK
                if more.any():
                    held[i][which] = np.where(more, back, held[i][which])
                    late |= more
            which = which[late]
            if not len(which):
                break
        for i in block:
            self._held[i] = held[i]

    def _expected_end(self, p: int, depth: int = 0) -> Floats:
        """Return when a node ends or, of one yet to come, when it should.

        That is its planned end, later by as much as what goes before it is late.
        """
        if self._walked[p]:
            ended: Floats = self.ends[p]
            return ended
        node = self.nodes[p]
        late = np.zeros(self.runs)
        if depth < _FURTHEST_BACK:
            for q, _ in (*node.after, *node.preds):
                behind = self._expected_end(q, depth + 1) - self.nodes[q].end
                # What never ends in some run is not waited for here.
                late = np.maximum(late, np.where(np.isfinite(behind), behind, 0.0))
        return node.end + late

    def _expect(
        self,
        block: Sequence[int],
        inside: set[int],
        ready: dict[int, Floats],
        allowed: dict[int, Floats],
    ) -> dict[int, Floats]:
        """Return how far tasks must be held back, were all to take their planned minutes."""
        starts: dict[int, Floats] = {}
        ends: dict[int, Floats] = {}
        pushed: dict[int, Floats] = {}
        for i in block:
            node = self.nodes[i]
            at = ready[i]
            natural: Floats | None = None
            for p, wait in node.preds:
                if p in inside:
                    from_here = ends[p] + wait
                    natural = from_here if natural is None else np.maximum(natural, from_here)
            kept = at
            if natural is not None:
                kept = np.maximum(at, natural)
            for p, wait in node.after:
                if p in inside:
                    kept = np.maximum(kept, ends[p] + wait)
            starts[i] = self._start(node, kept, node.work)
            ends[i] = self._end(node, starts[i], float(node.work))
            for p, most, how in node.ties:
                if p not in inside:
                    continue
                excess = (ends[i] if how == USED_UP else starts[i]) - ends[p] - most
                if how == AT_ONCE and natural is not None:
                    # What else it follows may be later; and only the last can be followed at once.
                    excess = np.minimum(excess, starts[i] - allowed[i])
                    excess = np.where(ends[p] + most < natural - _SLACK, 0.0, excess)
                if (excess > _SLACK).any():
                    back = np.where(excess > _SLACK, starts[p] + excess, -np.inf)
                    pushed[p] = np.maximum(pushed[p], back) if p in pushed else back
        return pushed


def _by_wait(preds: Sequence[tuple[int, int]]) -> list[tuple[int, list[int]]]:
    found: dict[int, list[int]] = {}
    for p, wait in preds:
        found.setdefault(wait, []).append(p)
    return list(found.items())


def _either(left: Bools | None, right: Bools | None) -> Bools | None:
    if left is None or right is None:
        return left if right is None else right
    return left | right
