"""The plan that holds as whoever looks at the day sees it: what was done at its own times."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.shop import Shop
from mouldwright.planning.logged.beside import AsItWent, as_it_went
from mouldwright.planning.logged.prospect import Prospect, prospects
from mouldwright.planning.logged.standing import as_it_stands
from mouldwright.planning.plan import Plan, Task


@dataclass(frozen=True, slots=True, kw_only=True)
class AsTold:
    """A plan as the log has it.

    Attributes:
        shop: As the log left it: who is away, which moulds are out.
        plan: Its tasks in their places; what was done at its own times, and what should have
            begun and has not at the next minute.
        late: Places of those, and what is said of each.
        prospects: Orders of which more or fewer are begun than were planned.
    """

    shop: Shop
    plan: Plan | None
    late: Mapping[int, str] = field(default_factory=dict)
    prospects: tuple[Prospect, ...] = ()


def as_told(shop: Shop, plan: Plan | None, *, now: int) -> AsTold:
    """Return a plan as the shop's log has it by now; as it is, where nothing is logged."""
    if not shop.log:
        return AsTold(shop=shop, plan=plan)
    if plan is None:
        return AsTold(shop=as_it_stands(shop, now=now), plan=None)
    try:
        went = as_it_went(shop, plan, now=now)
    except MouldwrightError:
        # An order may name what the shop no longer has: that is told elsewhere.
        return AsTold(shop=as_it_stands(shop, now=now), plan=plan)
    return AsTold(
        shop=went.problem.shop,
        plan=replace(plan, tasks=tuple(_seen(went, len(plan.tasks), now))),
        late=went.late,
        prospects=prospects(went),
    )


def _seen(went: AsItWent, count: int, now: int) -> list[Task]:
    tasks = []
    for at, task in enumerate(went.plan.tasks[:count]):
        later = now + 1 - task.start
        if at in went.late or (at in went.gone and later > 0):
            task = replace(task, spans=tuple((a + later, b + later) for a, b in task.spans))
        tasks.append(task)
    return tasks
