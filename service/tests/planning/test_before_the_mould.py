"""Work on a pull before its mould is taken: a core cut, cloth laid out."""

from __future__ import annotations

import builders as build
import pytest
from plans_by_hand import finish, made, told

from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def cored(pulls: int = 2, moulds: int = 1) -> Shop:
    """Return a shop open all day with one person; a core takes no mould, the rest does."""
    process = build.process(
        build.hands("core", 5),
        build.hands("lay", 10),
        build.alone("cure", 30),
        build.hands("unbag", 5),
        holds=[build.hold("lay", "unbag")],
    )
    return build.shop(
        process,
        [build.order("1", pulls)],
        people=[build.person("ana")],
        moulds=[build.moulds(moulds)],
    )


def moulds_by_pull(plan: Plan) -> dict[int, set[str | None]]:
    named: dict[int, set[str | None]] = {}
    for task in plan.tasks:
        for member in task.members:
            for pull in member.pulls:
                named.setdefault(pull, set()).add(task.mould)
    return named


def test_the_second_core_is_cut_while_the_first_cures_in_the_only_mould() -> None:
    # Core 08:00, lay 08:05 to 08:15, cure to 08:45, out 08:50; then 45 min more, its core cut.
    plan = made(cored(), "2027-03-01 08:00")
    assert finish(plan) == "Mon 09:35"
    assert len([end for end in told(plan, "core") if end.split(" - ")[1] <= "Mon 08:50"]) == 2


@pytest.mark.parametrize("moulds", [1, 2])
def test_it_is_told_for_the_mould_that_the_pull_is_made_on(moulds: int) -> None:
    named = moulds_by_pull(made(cored(4, moulds), "2027-03-01 08:00"))
    assert len(named) == 4
    assert all(len(each) == 1 and None not in each for each in named.values())


@pytest.mark.parametrize("minutes", [3, 12, 20, 50])
def test_a_core_that_is_cut_goes_into_whichever_mould_is_free(minutes: int) -> None:
    # The checker inside judges that what has begun stands as it is and all else follows.
    shop = cored(4, 2)
    first = make_plan(shop, now=NOW, seconds=0.1)
    running = tuple(task for task in first.tasks if task.start < NOW + minutes)
    second = make_plan(shop, now=NOW + minutes, running=running, seconds=0.1)
    assert set(running) <= set(second.tasks)
