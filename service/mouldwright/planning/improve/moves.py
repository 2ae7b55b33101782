"""Small changes of a policy: which work goes first, how batches fill, when lots may start."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from mouldwright.planning.policy import Deviation, Policy
from mouldwright.planning.problem import Problem
from mouldwright.planning.queues import Queues

PATIENCES_MIN = (0, 10, 30, 45, 90, 240, 720, 1440)
SLACKS_MIN = (0, 0, 0, 2, 5, 10, 20, 40)
# At a single decision it may pay to leave someone idle for longer.
WAITS_MIN = (0, 0, 5, 15, 40, 120, 480, 1440)
SKIPS = (0, 0, 1, 1, 1, 2, 3)
MOST_DEVIATIONS = 40


class Moves:
    """Draws changes of a policy for one problem."""

    def __init__(self, problem: Problem, queues: Queues, most: tuple[int, ...]) -> None:
        """Note what there is to change."""
        self.problem, self.queues, self.most = problem, queues, most
        self.lots = len(problem.lots)
        self.count = len(queues.all)
        self.kinds: list[str] = ["one queue", "one queue", "two queues", "slack"]
        self.kinds += ["deviation"] * 5
        self.pausing = [
            q
            for q, queue in enumerate(queues.all)
            if queue.block is not None and any(s.interruptible for s in queue.block.steps)
        ]
        if self.pausing:
            self.kinds += ["whole"]
        if any(queues.wears(q) for q in range(self.count)):
            self.kinds += ["lasting"]
        if self.lots > 1:
            self.kinds += ["two lots", "one lot", "one lot", "one block", "gate"]
        if any(m > 1 for m in most):
            self.kinds += ["batch", "batch", "patience"]
        # Nobody, or one of those whose work others can do too.
        self.shared = [-1]
        self.shared += sorted({p for crew in problem.crews if len(crew) > 1 for p in crew})
        self.batched = [lot for lot, m in enumerate(most) if m > 1]

    def change(self, policy: Policy, random: Random, span_min: int, decisions: int) -> Policy:
        """Return a policy changed in one thing.

        Args:
            policy: The policy to start from.
            random: Where chance comes from.
            span_min: How long the plan is; no lot is held back longer.
            decisions: How many decisions the plan took.
        """
        kind = random.choice(self.kinds)
        if kind == "deviation":
            return replace(policy, deviations=self._deviate(policy, random, decisions))
        if kind == "whole":
            whole = list(policy.whole or (False,) * self.count)
            q = random.choice(self.pausing)
            whole[q] = not whole[q]
            return replace(policy, whole=tuple(whole))
        if kind == "lasting":
            return replace(policy, lasting_first=not policy.lasting_first)
        if kind == "slack":
            return replace(policy, slack_min=random.choice(SLACKS_MIN))
        if kind == "gate":
            lot = random.randrange(self.lots)
            gate = 0 if random.random() < 0.5 else random.randrange(max(span_min, 1))
            return replace(policy, gate=_with(policy.gate, lot, gate))
        if kind == "batch":
            lot = random.choice(self.batched)
            target = random.randint(1, self.most[lot])
            return replace(policy, batch_target=_with(policy.batch_target, lot, target))
        if kind == "patience":
            lot = random.choice(self.batched)
            patience = random.choice(PATIENCES_MIN)
            return replace(policy, patience_min=_with(policy.patience_min, lot, patience))
        order = sorted(range(self.count), key=lambda q: policy.rank[q])
        if kind == "one queue":
            self._move(order, [random.randrange(self.count)], random)
        elif kind == "two queues":
            a, b = random.randrange(self.count), random.randrange(self.count)
            order[a], order[b] = order[b], order[a]
        elif kind == "one block":
            self._move(order, self._alike(random.randrange(self.count)), random)
        elif kind == "one lot":
            lot = random.randrange(self.lots)
            self._move(order, self._of(lot), random)
        else:
            order = self._swap_lots(order, random)
        rank = [0] * self.count
        for place, q in enumerate(order):
            rank[q] = place
        return replace(policy, rank=tuple(rank))

    def _deviate(self, policy: Policy, random: Random, decisions: int) -> tuple[Deviation, ...]:
        """Return the deviations with one more, or fewer where there are many."""
        kept = {d.decision: d for d in policy.deviations}
        if kept and (len(kept) >= MOST_DEVIATIONS or random.random() < 0.3):
            del kept[random.choice(sorted(kept))]
            if random.random() < 0.5:
                return tuple(kept.values())
        at = random.randrange(max(decisions, 1))
        kept[at] = Deviation(
            decision=at,
            skip=random.choice(SKIPS),
            slack_min=random.choice(WAITS_MIN),
            turn_whole=random.random() < 0.25,
            without=random.choice(self.shared) if random.random() < 0.3 else -1,
        )
        return tuple(kept[k] for k in sorted(kept))

    def _of(self, lot: int) -> list[int]:
        """Return the queues of a lot."""
        blocks = self.problem.routings[self.problem.lots[lot].routing].blocks
        base = self.queues.base[lot]
        return list(range(base, base + len(blocks)))

    def _alike(self, q: int) -> list[int]:
        """Return the queues of the same block in all lots of its routing."""
        queue = self.queues.all[q]
        if queue.block is None:
            return [q]
        routing = self.problem.lots[queue.lot].routing
        return [
            self.queues.base[lot.index] + queue.block.index
            for lot in self.problem.lots
            if lot.routing == routing
        ]

    @staticmethod
    def _move(order: list[int], which: list[int], random: Random) -> None:
        """Shift some queues up or down together, their own order kept."""
        size = len(order)
        reach = max(1, int(size * random.random() ** 2))
        shift = random.choice((-1, 1)) * random.randint(1, reach)
        chosen = set(which)
        moved = [(place + (shift if q in chosen else 0), q) for place, q in enumerate(order)]
        sign = 0.5 if shift > 0 else -0.5
        moved.sort(key=lambda m: m[0] + (sign if m[1] in chosen else 0))
        order[:] = [q for _, q in moved]

    def _swap_lots(self, order: list[int], random: Random) -> list[int]:
        """Give two lots each other's places, block by block."""
        a, b = random.sample(range(self.lots), 2)
        mine, theirs = self._of(a), self._of(b)
        places = {q: i for i, q in enumerate(order)}
        for i in range(max(len(mine), len(theirs))):
            one, two = mine[min(i, len(mine) - 1)], theirs[min(i, len(theirs) - 1)]
            if i < len(mine) and i < len(theirs):
                places[one], places[two] = places[two], places[one]
        return sorted(places, key=lambda q: places[q])


def _with(values: tuple[int, ...], place: int, value: int) -> tuple[int, ...]:
    return (*values[:place], value, *values[place + 1 :])
