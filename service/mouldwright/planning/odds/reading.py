"""A plan read back as nodes: what each task is of, who does it, when it may be worked."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.hours.clock import intersect
from mouldwright.domain.hours.opening import Window
from mouldwright.planning.odds.calendars import Calendar
from mouldwright.planning.odds.network import Node
from mouldwright.planning.placed import Item
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import Step
from mouldwright.planning.task_items import TaskItems


class NotOfThisShop(MouldwrightError):
    """A plan does not fit the shop it is looked at with.

    Attributes:
        task: Operation and process of a task that fits nowhere.
    """

    def __init__(self, task: Task) -> None:
        """Name the task."""
        self.task = f"{task.operation} of {task.process}"
        super().__init__(f"the plan has a task that the shop does not know: {self.task}")


class Calendars:
    """The open time of each set of people and stations, each worked out once."""

    def __init__(self, problem: Problem) -> None:
        """Keep the openings of people and stations."""
        self._problem = problem
        self._people = dict(zip(problem.people, problem.windows, strict=True))
        self._index: dict[tuple[tuple[str, ...], tuple[int, ...]], int] = {}
        self.all: list[Calendar] = []

    def of(self, people: Sequence[str], step: Step) -> int:
        """Return the index of the time in which these people may do a step; -1 for any."""
        if not people and not step.hours_of:
            return -1
        key = (tuple(sorted(people)), step.hours_of)
        if key not in self._index:
            openings: list[Sequence[Window]] = [self._people.get(p, ()) for p in key[0]]
            for place in step.hours_of:
                opening = self._problem.places[place].windows
                if opening is not None:
                    openings.append(opening)
            if not openings:
                return -1
            both = openings[0]
            for more in openings[1:]:
                both = intersect(both, more)
            self._index[key] = len(self.all)
            self.all.append(Calendar(both))
        return self._index[key]


def read_nodes(problem: Problem, plan: Plan, calendars: Calendars) -> list[Node]:
    """Return a node for each task of a plan.

    Raises:
        NotOfThisShop: if a task is of no order or process of the shop.
    """
    items_of = TaskItems(problem)
    upkeep = {
        (family.process, routing.conditioning.name): routing.conditioning
        for family in problem.families
        for routing in problem.routings
        if routing.key == family.process and routing.conditioning is not None
    }
    built = {tool.name for tool in problem.tools if tool.built_by >= 0}
    nodes = [_node(problem, plan, task, items_of, upkeep, built, calendars) for task in plan.tasks]
    _sessions(problem, plan, nodes)
    return nodes


def _sessions(problem: Problem, plan: Plan, nodes: Sequence[Node]) -> None:
    """Note where people gear up and clean down: at the same tasks as in the plan."""
    keys = problem.ground.sessions
    for session in plan.sessions:
        start, end = session.start - plan.now, session.end - plan.now
        own = [
            node
            for node in nodes
            if session.person in node.people
            and keys[node.step.session] == session.session
            and node.start < end
            and node.end > start
        ]
        if own:
            first = min(own, key=lambda node: node.start)
            first.lead = max(first.lead, session.gear_up_min)
            last = max(own, key=lambda node: node.end)
            last.tail = max(last.tail, session.clean_down_min)


def _node(
    problem: Problem,
    plan: Plan,
    task: Task,
    items_of: TaskItems,
    upkeep: dict[tuple[str, str], Step],
    built: set[str],
    calendars: Calendars,
) -> Node:
    found = list(items_of.of(task))
    lot: Lot | None = None
    items: tuple[Item, ...] = ()
    if found:
        lot, step, _ = found[0]
        items = tuple(item for _, _, item in found)
    elif not task.members and (task.process, task.operation) in upkeep:
        step = upkeep[task.process, task.operation]
    else:
        raise NotOfThisShop(task)
    makes = lot is not None and lot.order < 0 and task.mould in built
    return Node(
        step=step,
        lot=-1 if lot is None else lot.index,
        items=items,
        start=task.start - plan.now,
        end=task.end - plan.now,
        work=sum(end - start for start, end in task.spans),
        people=task.people,
        # The mould that is being built is not in use yet.
        mould=None if makes else task.mould,
        stations=task.stations,
        calendar=calendars.of(task.people, step),
        release=0 if lot is None else lot.release,
        is_fixed=task.start < plan.now,
    )
