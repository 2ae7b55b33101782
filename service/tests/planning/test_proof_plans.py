"""New moulds prove themselves by pulls that are not sold, before any that is; by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import builders as build
import pytest

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.process.mould import Mould
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def shop_of(
    quantity: int,
    *moulds: Mould,
    trim: int = 7,
    wax: bool = False,
    mix: bool = False,
    **family: Any,
) -> Shop:
    """Return pulls of fill 5, cure 10, empty 5, and a trim of single parts, by one person."""
    mixing = build.hands("mix", 2, per="batch", material="resin", pot_life_until="fill")
    process = build.process(
        *((mixing,) if mix else ()),
        build.hands("fill", 5),
        build.alone("cure", 10),
        build.hands("empty", 5),
        build.hands("trim", trim, per="part"),
        holds=[build.hold("fill", "empty")],
        conditioning=build.hands("wax", 10, per="conditioning") if wax else None,
        structure=CastStructure(matrix="resin") if mix else None,
    )
    tool = build.process(build.hands("cut", 60, per="part"), key="tool")
    made = replace(build.moulds(1, **family), moulds=moulds)
    return build.shop(
        [process, tool],
        [build.order(quantity=quantity, starts=quantity)],
        people=[build.person("ana")],
        moulds=[made],
        materials=[build.mixed()] if mix else [],
    )


def plan_of(shop: Shop) -> Plan:
    plan = make_plan(shop, now=NOW, seconds=0.2)
    assert plan.checked
    assert plan.bound is not None
    assert plan.bound <= (plan.objective.weighted_late_min or plan.objective.finish_min)
    return plan


def proofs(plan: Plan, operation: str = "fill") -> list[Task]:
    return [t for t in plan.tasks if t.operation == operation and not t.members]


NEW = Mould(number="1")


def test_a_new_mould_is_proved_before_its_first_pull_that_is_sold() -> None:
    # By hand: 2 proof pulls of 20 min, then 20 and a trim of 7: 67 min. Proof parts are not
    # trimmed.
    plan = plan_of(shop_of(1, NEW, proof_pulls=2))
    assert [t.start - NOW for t in proofs(plan)] == [0, 20]
    assert plan.objective.finish_min == 67
    assert sum(1 for t in plan.tasks if t.operation == "trim") == 1
    assert plan.orders[0].starts == 1
    assert {t.mould for t in proofs(plan)} == {"fin-mould 1"}


def test_a_mould_that_has_made_its_proof_pulls_makes_no_more() -> None:
    plan = plan_of(shop_of(1, Mould(number="1", pulls=2), proof_pulls=2))
    assert proofs(plan) == []
    assert plan.objective.finish_min == 27
    # One of two is still to be made: 20 + 27.
    plan = plan_of(shop_of(1, Mould(number="1", pulls=1), proof_pulls=2))
    assert plan.objective.finish_min == 47


def test_no_more_moulds_are_proved_than_there_are_pulls_for() -> None:
    # Of three new moulds one pull needs one.
    plan = plan_of(shop_of(1, NEW, Mould(number="2"), Mould(number="3"), proof_pulls=1))
    assert len(proofs(plan)) == 1
    # With one that is proved already, none.
    old = Mould(number="9", pulls=5)
    assert proofs(plan_of(shop_of(1, NEW, old, proof_pulls=1))) == []


def test_a_mould_that_is_built_is_proved_too() -> None:
    # Cut 60, proved 20, pulled 20, trimmed 7.
    plan = plan_of(shop_of(1, made_by="tool", proof_pulls=1))
    assert plan.objective.finish_min == 107
    (proof,) = proofs(plan)
    assert proof.start == NOW + 60


def test_proof_pulls_take_from_the_life_of_a_mould() -> None:
    # Of 3 pulls one proves it: two are sold, and a third finds none.
    plan_of(shop_of(2, NEW, proof_pulls=1, life_pulls=3))
    with pytest.raises(HardLimit) as refused:
        plan_of(shop_of(3, NEW, proof_pulls=1, life_pulls=3))
    assert "2 pulls left and 3 are wanted" in refused.value.reasons[0]


def test_coats_are_due_for_proof_pulls_as_for_any() -> None:
    # Two coats before the first pull, the proof's, one before the second: 10 + 10 + 20 + 10 + 20
    # and a trim of 7.
    plan = plan_of(shop_of(1, NEW, wax=True, proof_pulls=1, coats=(2, 1)))
    assert sum(1 for t in plan.tasks if t.operation == "wax") == 3
    assert plan.objective.finish_min == 77


def test_a_mould_is_waxed_for_its_proof_though_another_stands_ready() -> None:
    # Mould 9 is proved and waxed; mould 1 is new and takes three coats, then its proof.
    old = Mould(number="9", pulls=20)
    plan = plan_of(shop_of(4, NEW, old, wax=True, proof_pulls=1, coats=(3,)))
    assert len(proofs(plan)) == 1
    assert [t.mould for t in plan.tasks if t.operation == "wax"] == ["fin-mould 1"] * 3


def test_a_proof_pull_has_a_mix_of_its_own() -> None:
    # Mix 2, fill 5, cure 10, empty 5: 22, twice, and a trim of 7; 11 g each time.
    plan = plan_of(shop_of(1, NEW, mix=True, proof_pulls=1))
    (mix,) = proofs(plan, "mix")
    assert mix.mixed_g == pytest.approx(11)
    assert plan.objective.finish_min == 51


def test_a_plan_made_anew_goes_on_where_the_proof_stands() -> None:
    shop = shop_of(2, NEW, proof_pulls=2)
    plan = plan_of(shop)
    moment = NOW + 25
    begun = [task for task in plan.tasks if task.start < moment]
    again = make_plan(shop, now=moment, running=begun, seconds=0.2)
    assert again.checked
    assert len(proofs(again)) == 2
    assert again.orders[0].finish == plan.orders[0].finish


def test_the_checker_wants_the_proof_first_and_whole() -> None:
    shop = shop_of(1, NEW, proof_pulls=1)
    plan = plan_of(shop)
    without = replace(plan, tasks=tuple(t for t in plan.tasks if t.members))
    assert any("proved by 0 pulls, not 1" in words for words in check_plan(shop, without))
    late = tuple(
        t if t.members else replace(t, spans=((t.start + 500, t.end + 500),)) for t in plan.tasks
    )
    complaints = check_plan(shop, replace(plan, tasks=late))
    assert any("before it is proved" in words for words in complaints)


def test_work_on_a_mould_for_nobody_is_told_apart() -> None:
    shop = shop_of(1, wax=True, made_by="tool", proof_pulls=1, coats=(1,))
    plan = plan_of(shop)
    told = {
        task.operation: shop.mould_work(task.process, task.operation, task.mould or "")
        for task in plan.tasks
        if not task.members
    }
    assert told == {
        "cut": "making",
        "wax": "upkeep",
        "fill": "proof",
        "cure": "proof",
        "empty": "proof",
    }
