"""Nodes linked: the steps before each, what must follow soon, and who takes turns with whom."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from heapq import heapify, heappop, heappush

from mouldwright.planning.odds.lots import LotFacts
from mouldwright.planning.odds.network import AT_ONCE, SOON, USED_UP, Node, Stay
from mouldwright.planning.odds.turns import keep_apart, line_up, settle
from mouldwright.planning.placed import Item
from mouldwright.planning.problem import Problem
from mouldwright.planning.routing import BATCH, NEVER, ORDER, PART, Keep, Step
from mouldwright.planning.shapes import ALL
from mouldwright.planning.task_items import covering, index_of

# Lot, step, place among what the step is done for.
Key = tuple[int, int, int]


class Linker:
    """Links the nodes of a plan and of what may come on top of it."""

    def __init__(self, problem: Problem, facts: list[LotFacts], nodes: list[Node]) -> None:
        """Find the node of each step of each unit and part."""
        self.problem, self.facts, self.nodes = problem, facts, nodes
        self.at: dict[Key, int] = {}
        self.doing: dict[tuple[int, int], list[int]] = defaultdict(list)
        again: dict[tuple[int, tuple[Item, ...]], int] = {}
        for i, node in enumerate(nodes):
            if node.is_again:
                again[node.step.index, node.items] = i
                continue
            for key in self._keys(node):
                self.at[key] = i
            for lot in dict.fromkeys(item[0] for item in node.items):
                self.doing[lot, node.step.index].append(i)
        # The node that stands again for each planned one.
        self.again = {
            i: again[node.step.index, node.items]
            for i, node in enumerate(nodes)
            if node.waits_for_again
        }

    def link(self) -> list[int]:
        """Link all nodes; return them in the order they are walked."""
        for node in self.nodes:
            if node.lot >= 0 and not node.is_fixed:
                self._follow(node)
        self._blocks()
        keep_apart(self.nodes)
        stays = list(self._stays())
        self._upkeep_waits(stays)
        self._after_building(stays)
        order = self._in_order()
        rooms = {unit: place.room for place in self.problem.places for unit in place.units}
        line_up(self.nodes, order, stays, {unit: room for unit, room in rooms.items() if room})
        settle(self.nodes, order, self.problem.ground)
        return order

    def _keys(self, node: Node) -> Iterator[Key]:
        for item in node.items:
            yield item[0], node.step.index, index_of(self.problem.lots[item[0]], node.step, item)

    def _covering(self, item: Item, step: Step) -> Iterator[int]:
        """Yield the nodes of a step that bear on an item; passed by, of what goes before it."""
        lot = self.problem.lots[item[0]]
        steps = self.problem.routings[lot.routing].steps
        for each in covering(lot, step, item):
            index = index_of(lot, step, each)
            found = self.at.get((item[0], step.index, index))
            if found is not None:
                yield found
            elif lot.skips and index in lot.skips[step.index]:
                for p in step.preds:
                    yield from self._covering(each, steps[p])

    # What goes before.

    def _follow(self, node: Node) -> None:
        steps = self.problem.routings[self.problem.lots[node.lot].routing].steps
        step = node.step
        facts = self.facts[node.lot]
        waits = dict.fromkeys(step.preds, step.wait_min)
        if step.age_of >= 0:
            waits[step.age_of] = max(waits.get(step.age_of, 0), step.age_min)
        gathers = (
            step.index in facts.late
            and step.level == ORDER
            and any(steps[p].level != ORDER for p in step.preds)
        )
        preds: dict[int, int] = {}
        for item in node.items:
            for p, wait in waits.items():
                for before in self._covering(item, steps[p]):
                    preds[before] = max(preds.get(before, 0), wait)
        if gathers and facts.needed:
            node.gathers.append((node.lot, step.preds))
        if facts.waits_for and not step.preds:
            node.gathers.extend((lot, self.facts[lot].ends) for lot in facts.waits_for)
        for lot, ended in node.gathers:
            for p in ended:
                for before in self.doing[lot, p]:
                    if node.is_again or self.nodes[before].remade < 0:
                        preds.setdefault(before, 0)
        if node.is_again:
            # It stands after what stands again for the steps before it.
            preds = {self.again.get(p, p): wait for p, wait in preds.items()}
        node.preds = list(preds.items())
        self._tie(node, steps)

    def _tie(self, node: Node, steps: tuple[Step, ...]) -> None:
        step = node.step
        for p, wait in node.preds:
            before = self.nodes[p].step.index
            if before not in step.preds:
                continue
            if step.wait_max < NEVER:
                node.ties.append((p, step.wait_max, SOON))
            if step.exact:
                node.ties.append((p, wait, AT_ONCE))
        for mix in steps:
            if mix.pot_until == step.index:
                for item in node.items:
                    for p in self._covering(item, mix):
                        node.ties.append((p, mix.pot_life_min, USED_UP))

    # What is begun only when all of it can follow.

    def _blocks(self) -> None:
        group: dict[tuple[int, ...], int] = {}
        joined: list[int] = list(range(len(self.nodes)))

        def root(i: int) -> int:
            while joined[i] != i:
                joined[i] = joined[joined[i]]
                i = joined[i]
            return i

        blocks = {
            (lot.index, step.index): block
            for lot in self.problem.lots
            for block in self.problem.routings[lot.routing].blocks
            for step in block.steps
        }
        for i, node in enumerate(self.nodes):
            if node.lot < 0 or node.is_fixed:
                continue
            for item in node.items:
                block = blocks[item[0], node.step.index]
                if len(block.steps) == 1:
                    break
                unit = item[1] if block.level != ORDER else ALL
                part = item[2] if block.level == PART else ALL
                key = (item[0], block.index, unit, part, int(node.is_again))
                joined[root(group.setdefault(key, i))] = root(i)
        for i in range(len(self.nodes)):
            self.nodes[i].block = root(i)
        sizes: dict[int, int] = defaultdict(int)
        for node in self.nodes:
            sizes[node.block] += 1
        for node in self.nodes:
            if sizes[node.block] == 1:
                node.block = -1

    # Moulds and units.

    def _stays(self) -> Iterator[Stay]:
        for lot in self.problem.lots:
            routing = self.problem.routings[lot.routing]
            for keep in routing.keeps:
                yield from self._holds(keep, routing.steps, lot.index)
        for i, node in enumerate(self.nodes):
            if node.lot < 0 and node.mould:
                yield Stay(place=node.mould, firsts=[i], lasts=[i], is_upkeep=True)
            if node.step.station >= 0:
                units = self.problem.places[node.step.station].units
                parts = sum(self._parts(item) for item in node.items)
                for unit in [u for u in node.stations if u in units][:1]:
                    yield Stay(place=unit, firsts=[i], lasts=[i], parts=max(parts, 1))

    def _parts(self, item: Item) -> int:
        lot = self.problem.lots[item[0]]
        if item[1] == ALL:
            return lot.units * lot.cavities
        return lot.cavities if item[2] == ALL else 1

    def _holds(self, keep: Keep, steps: tuple[Step, ...], lot: int) -> Iterator[Stay]:
        """Yield every stay of one hold of a lot, and note it at the nodes within."""
        first = steps[keep.first]
        begun: list[tuple[Item, int]] = []
        for i in self.doing[lot, keep.first]:
            node = self.nodes[i]
            if keep.level != BATCH and first.level != ORDER:
                begun.extend((item, i) for item in node.items if item[0] == lot)
            elif node.lot == lot:
                begun.append(((lot, ALL, i), i))
        for item, i in begun:
            items = self.nodes[i].items if item[1] == ALL else (item,)
            within = {
                j
                for step in steps[keep.first : keep.last + 1]
                for each in items
                for j in self._covering(each, step)
            }
            place = self._place(keep, within)
            if place is None:
                continue
            firsts = [j for j in within if self.nodes[j].step.index == keep.first]
            lasts = [j for j in within if self.nodes[j].step.index == keep.last] or firsts
            for j in within:
                if self.nodes[j].step.index != keep.first:
                    self.nodes[j].held_since.extend(firsts)
            yield Stay(
                place=place,
                firsts=firsts,
                lasts=lasts,
                parts=sum(self._parts(each) for each in items),
            )

    def _place(self, keep: Keep, within: set[int]) -> str | None:
        """Return the mould or unit that is kept from first to last; None where none is named."""
        if keep.station < 0:
            return next((m for j in within if (m := self.nodes[j].mould)), None)
        units = set(self.problem.places[keep.station].units)
        for j in within:
            units &= set(self.nodes[j].stations)
        return min(units, default=None)

    def _upkeep_waits(self, stays: list[Stay]) -> None:
        """Let each coat on a mould be dry before the next one follows it."""
        coats: dict[str, int] = {}
        turns = sorted(
            (s for s in stays if self.nodes[s.firsts[0]].mould == s.place),
            key=lambda s: self.nodes[s.firsts[0]].start,
        )
        for stay in turns:
            i = stay.firsts[0]
            if stay.is_upkeep and stay.place in coats:
                self.nodes[i].preds.append((coats[stay.place], self.nodes[i].step.wait_min))
            if stay.is_upkeep:
                coats[stay.place] = i
            else:
                coats.pop(stay.place, None)

    # Turns.

    def _in_order(self) -> list[int]:
        """Return the nodes by planned start, none before a step it follows."""
        nodes = self.nodes
        waiting = [len(node.preds) for node in nodes]
        followers: list[list[int]] = [[] for _ in nodes]
        for i, node in enumerate(nodes):
            for p, _ in node.preds:
                followers[p].append(i)
        ready = [(nodes[i].start, nodes[i].end, i) for i in range(len(nodes)) if not waiting[i]]
        heapify(ready)
        found = []
        while ready:
            _, _, i = heappop(ready)
            found.append(i)
            for f in followers[i]:
                waiting[f] -= 1
                if not waiting[f]:
                    heappush(ready, (nodes[f].start, nodes[f].end, f))
        return found

    def _after_building(self, stays: list[Stay]) -> None:
        """Let nothing be done with a mould before it is built."""
        for tool in self.problem.tools:
            if tool.built_by < 0:
                continue
            built = [i for i, n in enumerate(self.nodes) if n.lot == tool.built_by]
            for stay in stays:
                if stay.place == tool.name:
                    for i in stay.firsts:
                        self.nodes[i].after += [(p, 0) for p in built]
