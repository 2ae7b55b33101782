"""What moulds need, as it is told: conditioning that is due, a life that runs out."""

from __future__ import annotations

import pytest
from builders import alone, at, hands, hold, moulds, order, person, process, shop, task
from builders import plan as planned

from mouldwright.usecases.mould_notices import FEW_PULLS, mould_notices

WAX = hands("wax", 20, per="conditioning")
WORK = process(
    hands("load", 30), alone("cure", 600), hands("demould", 20),
    holds=[hold("load", "demould")], conditioning=WAX,
)  # fmt: skip
NOW = at("2027-03-01 08:00")


def bench(**of_mould):
    return shop(WORK, [order(quantity=4)], people=[person("ada")], moulds=[moulds(2, **of_mould)])


def pull(number, day, mould="fin-mould 1"):
    first, load = at(f"{day} 09:00"), at(f"{day} 09:30")
    return [
        task("load", first, load, "ada", mould=mould, pull=number),
        task("cure", load, load + 600, mould=mould, pull=number),
        task("demould", load + 600, load + 620, "ada", mould=mould, pull=number),
    ]


def told(there, *tasks):
    plan = planned(there, NOW, tasks, starts={"1": 4}) if tasks else None
    return [(each.kind, each.mould, each.text) for each in mould_notices(there, plan, NOW)]


def test_a_mould_that_is_to_be_conditioned_is_told_with_when_it_is_next_pulled():
    there = bench(since=5, conditioned_every_pulls=5)
    # The other mould is due too, but nothing is planned on it.
    assert told(there, *pull(1, "2027-03-02")) == [
        (
            "conditioning",
            "fin-mould 1",
            "fin 1 is to be conditioned before its next pull, planned Tue 2 Mar 2027, 09:00.",
        )
    ]
    assert [mould for _, mould, _ in told(there)] == ["fin-mould 1", "fin-mould 2"]
    assert told(bench(since=4, conditioned_every_pulls=5), *pull(1, "2027-03-02")) == []


def test_a_mould_that_the_plan_uses_up_is_told_with_when():
    there = bench(pulls=28, life_pulls=30)
    tasks = [*pull(1, "2027-03-02"), *pull(2, "2027-03-03")]
    (first, second) = told(there, *tasks)
    # 30 pulls of life, 28 taken: the second of those planned is the last, demoulded at 19:50.
    assert first[2] == ("fin 1 has 2 pulls left; the plan uses it up Wed 3 Mar 2027, 19:50.")
    assert second[2] == "fin 2 has 2 pulls left."


@pytest.mark.parametrize(
    ("left", "is_told"), [(FEW_PULLS, True), (FEW_PULLS + 1, False), (0, False)]
)
def test_few_pulls_left_are_told_whatever_is_planned(left, is_told):
    assert bool(told(bench(pulls=30 - left, life_pulls=30))) == is_told


def test_a_mould_that_does_not_wear_has_nothing_to_tell():
    assert told(bench(pulls=1000)) == []
