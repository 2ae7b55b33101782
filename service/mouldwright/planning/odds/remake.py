"""What comes on top of a plan where parts are lost: units made anew, and the work after them.

A unit made anew goes the way the last planned one of its lot went, by the same people, on
the moulds and units in turn. It is begun once all planned starts of its lot are judged, and
takes its place among the planned work of those people by about when that will be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mouldwright.planning.odds.lots import LotFacts
from mouldwright.planning.odds.network import Node
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import BATCH, ORDER, PART, Step, duration_min
from mouldwright.planning.shapes import ALL


def extra_nodes(
    problem: Problem,
    facts: Sequence[LotFacts],
    planned: Sequence[Node],
    rounds: dict[int, tuple[int, ...]],
) -> list[Node]:
    """Return the nodes that come on top, and mark the planned ones that wait for them.

    Args:
        problem: What was planned.
        facts: Of each lot.
        planned: The plan's nodes.
        rounds: For each lot that falls short in some run, the units of each round.
    """
    found: list[Node] = []
    until: dict[int, int] = {}
    for lot_index, units in rounds.items():
        made = _remade(problem, facts[lot_index], planned, units)
        found += made
        until[lot_index] = max((node.end for node in made), default=0)
    for each in facts:
        behind = [lot for lot in (each.lot.index, *each.waits_for) if lot in until]
        if each.late and behind:
            late = [n for n in planned if n.lot == each.lot.index and n.step.index in each.late]
            found += _again(late, max(until[lot] for lot in behind))
    return found


def _again(late: Sequence[Node], until: int) -> list[Node]:
    moved = max(until - min((node.start for node in late), default=until), 0)
    found = []
    for node in late:
        node.waits_for_again = True
        found.append(
            replace(
                node,
                start=node.start + moved,
                end=node.end + moved,
                preds=[],
                after=[],
                gathers=[],
                ties=[],
                held_since=[],
                is_fixed=False,
                is_again=True,
                waits_for_again=False,
            )
        )
    return found


def _remade(
    problem: Problem, facts: LotFacts, planned: Sequence[Node], rounds: Sequence[int]
) -> list[Node]:
    lot = facts.lot
    own = [
        n
        for n in planned
        if any(item[0] == lot.index for item in n.items)
        and n.step.level != ORDER
        and n.step.index not in facts.late
    ]
    way = _last_way(problem, facts, own)
    if not way:
        return []
    routing = problem.routings[lot.routing]
    first = min(node.start for node, _ in way)
    moulds = list(dict.fromkeys(n.mould for n in sorted(own, key=lambda n: n.start) if n.mould))
    kept = [problem.places[k.station].units for k in routing.keeps if k.station >= 0]
    side_by_side = min([len(moulds)] if moulds else [10**6], default=1)
    side_by_side = min([side_by_side, *(len(units) for units in kept)])
    last_held = max((k.last for k in routing.keeps), default=0)
    freed = max((n.end for n, _ in way if n.step.index <= last_held), default=first) - first
    hands = _first_hands(way)
    found: list[Node] = []
    begin = max((n.end for n in own), default=0)
    unit = lot.units
    for count in rounds:
        latest = begin
        for j in range(count):
            turn, place = divmod(j, side_by_side)
            offset = begin + turn * freed + place * hands - first
            mould = moulds[j % len(moulds)] if moulds else None
            for node, part in way:
                stations = _in_turn(node.stations, kept, j)
                made = _copy(lot, node, part, unit, offset, mould if node.mould else None, stations)
                latest = max(latest, made.end)
                found.append(made)
            unit += 1
        begin = latest
    return found


def _copy(
    lot: Lot,
    node: Node,
    part: int,
    unit: int,
    offset: int,
    mould: str | None,
    stations: tuple[str, ...],
) -> Node:
    work = (
        duration_min(node.step.operation, lot.cavities) if node.step.level == BATCH else node.work
    )
    return Node(
        step=node.step,
        lot=lot.index,
        items=((lot.index, unit, part),),
        start=node.start + offset,
        end=node.end + offset,
        work=work,
        people=node.people,
        mould=mould,
        stations=stations,
        calendar=node.calendar,
        lead=node.lead,
        tail=node.tail,
        release=lot.release,
        remade=unit - lot.units,
    )


def _last_way(problem: Problem, facts: LotFacts, own: Sequence[Node]) -> list[tuple[Node, int]]:
    """Return the nodes of the unit that goes through most steps, the last of equals."""
    lot = facts.lot
    steps = [
        step
        for step in problem.routings[lot.routing].steps
        if step.level != ORDER and step.index not in facts.late
    ]
    at = {(item, n.step.index): n for n in own for item in n.items if item[0] == lot.index}
    longest: list[tuple[Node, int]] = []
    for unit in reversed(range(lot.units)):
        way = [
            (node, part)
            for step in steps
            for part in _parts_of(lot, step)
            if (node := at.get(((lot.index, unit, part), step.index))) is not None
        ]
        if len(way) > len(longest):
            longest = way
    return longest


def _parts_of(lot: Lot, step: Step) -> Sequence[int]:
    return range(lot.cavities) if step.level == PART else (ALL,)


def _first_hands(way: Sequence[tuple[Node, int]]) -> int:
    """Return the attended minutes before the first step that needs nobody."""
    total = 0
    for node, _ in way:
        if not node.people:
            break
        total += node.work
    return total


def _in_turn(stations: tuple[str, ...], kept: Sequence[tuple[str, ...]], j: int) -> tuple[str, ...]:
    """Return the units with those that are kept taken in turn."""
    found = []
    for unit in stations:
        units = next((units for units in kept if unit in units), None)
        found.append(unit if units is None else units[j % len(units)])
    return tuple(dict.fromkeys(found))
