"""The same problem with time running backwards, for latest starts that heed the hands.

Waiting may happen before any attended step, so seen backwards the chain is a chain of
the same kind: a stage, its lag, the stage before. Dispatching it from the targets puts
every task as late as people and copies allow, and those starts are keys for the pass
forwards (forward-backward improvement of project schedules: Li & Willis 1992, "An
iterative scheduling technique for resource-constrained project scheduling", European
Journal of Operational Research 56, from memory).

A copy given back during a lag is taken, seen backwards, with the stage before it; the
mirrored starts are then a guide and not a plan, which is all that is asked of them.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from mouldwright.domain.hours.opening import MINUTES_A_DAY
from mouldwright.planning.flow.chains import visits
from mouldwright.planning.flow.stages import Stages


def mirrored(stages: Stages) -> Stages:
    """Return the stages seen backwards: minute t becomes -t, an order's last stage its first.

    Releases are 0; whoever dispatches gives each order its target as release.
    """
    seen: list[int] = []
    lag: list[int] = []
    for order in range(stages.orders):
        span = stages.stages_of(order)
        for stage in reversed(span):
            seen.append(stage)
            lag.append(stages.lag[stage - 1] if stage > span.start else 0)
    place = {stage: index for index, stage in enumerate(seen)}
    take: list[list[int]] = [[] for _ in seen]
    give: list[list[tuple[int, int]]] = [[] for _ in seen]
    for visit in visits(stages):
        take[place[visit.given_at]].append(visit.pool)
        give[place[visit.taken_at]].append((visit.pool, stages.duration[visit.taken_at]))
    task = [0]
    for stage in seen[:-1]:
        task.append(task[-1] + stages.units[stage])
    back = slice(None, None, -1)
    # Tight targets reach back before the first opening: as many weeks again stand there.
    week = 7 * MINUTES_A_DAY
    whole_weeks = -(-(stages.closes[-1] - stages.opens[0]) // week) * week
    opens = [*(at - whole_weeks for at in stages.opens), *stages.opens]
    closes = [*(at - whole_weeks for at in stages.closes), *stages.closes]
    return replace(
        stages,
        opens=[-at for at in closes[back]],
        closes=[-at for at in opens[back]],
        persons=(2 * stages.persons)[back],
        duration=[stages.duration[stage] for stage in seen],
        lag=lag,
        units=[stages.units[stage] for stage in seen],
        task=task,
        release=[0] * stages.orders,
        take_from=[0, *np.cumsum([len(pools) for pools in take]).tolist()],
        take=[pool for pools in take for pool in pools],
        give_from=[0, *np.cumsum([len(pools) for pools in give]).tolist()],
        give_pool=[pool for pools in give for pool, _ in pools],
        give_after=[after for pools in give for _, after in pools],
        step=[stages.step[stage] for stage in seen],
    )


def mirrored_tasks(stages: Stages) -> npt.NDArray[np.int64]:
    """Return for every task the mirrored task that is the same work of the same unit."""
    found = np.zeros(stages.tasks, dtype=np.int64)
    for order in range(stages.orders):
        span = stages.stages_of(order)
        base = stages.task[span.start]
        for index, stage in enumerate(reversed(span)):
            units = stages.units[stage]
            at = slice(stages.task[stage], stages.task[stage] + units)
            found[at] = base + index * units + np.arange(units - 1, -1, -1)
    return found
