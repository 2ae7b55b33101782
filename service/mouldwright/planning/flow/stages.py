"""The chains laid out flat: attended steps as stages, unattended ones as lags between them.

Units of one order are alike, so at every stage they may be taken in order without loss;
a stage's queue is then a count and the next task of it is known. Everything that
plans or bounds works on these plain lists of integers.
"""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.planning.flow.instance import FlowInstance, FlowOrder, Starts

# Later than any minute of any plan.
NEVER = 1 << 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Stages:
    """An instance laid out flat. Lists are by stage unless said otherwise.

    Attributes:
        opens: By opening.
        closes: By opening.
        persons: By opening.
        order: Place of its order.
        duration: Minutes of attended work.
        lag: Unattended minutes that follow it before the next stage or the end.
        units: Units that pass it.
        task: Place of its first unit's task among all tasks.
        tasks: Tasks in all.
        first: By order, its first stage; one entry more than orders.
        release: By order.
        take_from: Into ``take``; one entry more than stages.
        take: Pools taken at a start.
        give_from: Into ``give_pool`` and ``give_after``; one entry more than stages.
        give_pool: Pools given back because of a start.
        give_after: Minutes after that start at which they are.
        copy_from: By pool, into one list of all copies; one entry more than pools.
        step: Place of its step in the chain.
    """

    opens: list[int]
    closes: list[int]
    persons: list[int]
    order: list[int]
    duration: list[int]
    lag: list[int]
    units: list[int]
    task: list[int]
    tasks: int
    first: list[int]
    release: list[int]
    take_from: list[int]
    take: list[int]
    give_from: list[int]
    give_pool: list[int]
    give_after: list[int]
    copy_from: list[int]
    step: list[int]

    @property
    def count(self) -> int:
        """Return the number of stages."""
        return len(self.duration)

    @property
    def orders(self) -> int:
        """Return the number of orders."""
        return len(self.release)

    def stages_of(self, order: int) -> range:
        """Return the stages of an order."""
        return range(self.first[order], self.first[order + 1])

    def copies(self, pool: int) -> int:
        """Return the copies of a pool."""
        return self.copy_from[pool + 1] - self.copy_from[pool]


def lay_out(instance: FlowInstance) -> Stages:
    """Return the instance laid out flat, pools in the order of the mapping."""
    pool_place = {name: place for place, name in enumerate(instance.pools)}
    copy_from = [0]
    for copies in instance.pools.values():
        copy_from.append(copy_from[-1] + copies)
    flat = Stages(
        opens=[opens for opens, _, _ in instance.windows],
        closes=[closes for _, closes, _ in instance.windows],
        persons=[persons for _, _, persons in instance.windows],
        order=[],
        duration=[],
        lag=[],
        units=[],
        task=[],
        tasks=sum(
            order.quantity * sum(step.attended for step in order.steps) for order in instance.orders
        ),
        first=[0],
        release=[order.release for order in instance.orders],
        take_from=[0],
        take=[],
        give_from=[0],
        give_pool=[],
        give_after=[],
        copy_from=copy_from,
        step=[],
    )
    task = 0
    for place, order in enumerate(instance.orders):
        attended = [index for index, step in enumerate(order.steps) if step.attended]
        for index, after in zip(attended, [*attended[1:], len(order.steps)], strict=True):
            flat.order.append(place)
            flat.duration.append(order.steps[index].duration_min)
            flat.lag.append(sum(step.duration_min for step in order.steps[index + 1 : after]))
            flat.units.append(order.quantity)
            flat.task.append(task)
            flat.step.append(index)
            task += order.quantity
            for hold in order.holds:
                if hold.first == index:
                    flat.take.append(pool_place[hold.pool])
                if index <= hold.last < after:
                    flat.give_pool.append(pool_place[hold.pool])
                    flat.give_after.append(
                        sum(step.duration_min for step in order.steps[index : hold.last + 1])
                    )
            flat.take_from.append(len(flat.take))
            flat.give_from.append(len(flat.give_pool))
        flat.first.append(len(flat.duration))
    return flat


def unfold(instance: FlowInstance, stages: Stages, starts: list[int]) -> Starts:
    """Return the start of every step from the starts of all tasks.

    Args:
        instance: The problem.
        stages: The same laid out.
        starts: By task.
    """
    return tuple(
        tuple(_unit(order, stages, place, unit, starts) for unit in range(order.quantity))
        for place, order in enumerate(instance.orders)
    )


def _unit(
    order: FlowOrder, stages: Stages, place: int, unit: int, starts: list[int]
) -> tuple[int, ...]:
    """Return the start of every step of one unit."""
    at = iter(stages.task[stage] + unit for stage in stages.stages_of(place))
    row: list[int] = []
    end = 0
    for step in order.steps:
        start = starts[next(at)] if step.attended else end
        row.append(start)
        end = start + step.duration_min
    return tuple(row)
