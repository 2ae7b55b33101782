"""Who takes turns with whom: each person, mould and unit takes its tasks in the plan's order.

What may come on top takes its turn by about when it would be, but never in the midst of work
that is tied together: nobody leaves a mix standing to begin something else.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from mouldwright.planning.ground import Ground
from mouldwright.planning.odds.network import Node, Stay

# Attended tasks of a block further apart than this are two runs of work.
_APART_MIN = 120


def keep_apart(nodes: Sequence[Node]) -> None:
    """Move what comes on top out of runs of tied work that are planned."""
    runs: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for run in _runs(n for n in nodes if n.block >= 0 and not _on_top(n)):
        for person in {p for node in run for p in node.people}:
            runs[person].append((run[0].start, run[-1].start))
    for kept in runs.values():
        kept.sort()
    on_top: dict[tuple[int, int, int, bool], list[Node]] = defaultdict(list)
    for node in nodes:
        if _on_top(node):
            # Tied work stands together, all else by itself.
            block = node.block if node.block >= 0 else id(node)
            on_top[node.lot, node.remade, block, node.is_again].append(node)
    for tied in on_top.values():
        for run in _runs(tied):
            people = {p for node in run for p in node.people}
            at = _free(runs, people, run[0].start)
            for node in run:
                length = node.end - node.start
                node.start, node.end = at, max(at + length, at)


def line_up(
    nodes: Sequence[Node], order: Sequence[int], stays: Iterable[Stay], rooms: dict[str, int]
) -> None:
    """Say what keeps the people, mould and units of each node.

    What is not needed in every run keeps nobody where it is not: those after it wait for
    what was before it too.

    Args:
        nodes: Given what they wait for.
        order: As they are walked.
        stays: What keeps moulds and units.
        rooms: How many parts fit into a unit at once, for those that count parts.
    """
    rank = {i: place for place, i in enumerate(order)}
    last: dict[str, list[int]] = defaultdict(list)
    for i in order:
        for person in nodes[i].people:
            nodes[i].after += [(p, nodes[p].tail + nodes[i].lead) for p in last[person]]
            last[person] = [*last[person], i] if _may_be_left_out(nodes[i]) else [i]
    by_place: dict[str, list[Stay]] = defaultdict(list)
    for stay in stays:
        by_place[stay.place].append(stay)
    for place, kept in by_place.items():
        kept.sort(key=lambda s: min(rank[i] for i in s.firsts))
        slots: list[list[int]] = [[] for _ in range(rooms.get(place, 1))]
        for stay in kept:
            # What is free first in the plan; one for each part where parts are counted.
            slots.sort(key=lambda ends: max(((nodes[i].end, rank[i]) for i in ends), default=_FREE))
            many = min(stay.parts, len(slots)) if place in rooms else 1
            for k in range(many):
                for i in stay.firsts:
                    nodes[i].after += [(p, 0) for p in slots[k]]
                left_out = any(_may_be_left_out(nodes[i]) for i in stay.lasts)
                slots[k] = [*slots[k], *stay.lasts] if left_out else list(stay.lasts)
    for i, node in enumerate(nodes):
        node.after = [at for at in dict.fromkeys(node.after) if rank[at[0]] < rank[i]]


def settle(nodes: Sequence[Node], order: Sequence[int], ground: Ground) -> None:
    """Let work in a room wait until the work in another state before it has settled."""
    groups: dict[int, list[tuple[int, list[int]]]] = defaultdict(list)
    for i in order:
        needs = nodes[i].step.room
        if needs is None:
            continue
        room, state = needs
        so_far = groups[room]
        if not so_far or so_far[-1][0] != state:
            so_far.append((state, []))
        so_far[-1][1].append(i)
        if len(so_far) > 1:
            other, before = so_far[-2]
            wait = ground.settle_min[room][other]
            nodes[i].after += [(p, wait) for p in before]


_FREE = (-(1 << 60), -1)


def _on_top(node: Node) -> bool:
    return node.remade >= 0 or node.is_again


def _may_be_left_out(node: Node) -> bool:
    return _on_top(node) or node.waits_for_again


def _runs(nodes: Iterable[Node]) -> list[list[Node]]:
    """Return runs of attended work: of one block, with no long gap."""
    blocks: dict[int, list[Node]] = defaultdict(list)
    for node in nodes:
        if node.people:
            blocks[node.block if node.block >= 0 else -id(node)].append(node)
    found = []
    for tied in blocks.values():
        tied.sort(key=lambda n: (n.start, n.end))
        run = [tied[0]]
        for node in tied[1:]:
            if node.start - run[-1].end > _APART_MIN:
                found.append(run)
                run = []
            run.append(node)
        found.append(run)
    return found


def _free(runs: dict[str, list[tuple[int, int]]], people: set[str], at: int) -> int:
    """Return the first minute from ``at`` at which none of these people is in tied work."""
    moved = True
    while moved:
        moved = False
        for person in people:
            for first, last in runs.get(person, ()):
                if first < at <= last:
                    at, moved = last + 1, True
    return at
