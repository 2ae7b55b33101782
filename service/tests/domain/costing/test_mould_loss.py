"""What a chance of losing the mould on a pull does to starts and cost; all by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import builders as build
import pytest

from mouldwright.domain.costing.scrap import good_rates, starts_for
from mouldwright.domain.costing.unit_cost import UnitCost, unit_cost
from mouldwright.domain.process.process import Process
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def pressed() -> Process:
    return build.process(
        build.hands("fill", 10),
        build.alone("cure", 60),
        build.hands("demould", 5),
        holds=[build.hold("fill", "demould")],
    )


def cost_of(quantity: int, **family: object) -> UnitCost:
    shop = build.shop(
        pressed(),
        people=[build.person("ana")],
        moulds=[build.moulds(1, **family)],
        service_level=None,
        tooling=family.pop("tooling", "by life"),
    )
    return unit_cost(shop, shop.part("fin"), pressed(), quantity, charge=None)


def test_the_mean_pulls_of_a_mould_that_may_be_lost() -> None:
    family = build.moulds(1, loss_rate=Decimal("0.02"), life_pulls=3)
    # 1 + 0.98 + 0.98^2 = 2.9404: the pull that loses it is one of them.
    assert family.mean_pulls(3) == Fraction("2.9404")
    assert family.mean_pulls(0) == 0
    # Without an end, 1 / 0.02.
    assert family.mean_pulls(None) == 50
    # Without a chance of loss, all of them, or no end.
    assert build.moulds(1).mean_pulls(3) == 3
    assert build.moulds(1).mean_pulls(None) is None


def test_by_life_a_pull_pays_its_share_of_the_mean() -> None:
    # 49 good ones by the mean rule take 49 / 0.98 = 50 pulls, at 29.404 / 2.9404 = 10.00.
    cost = cost_of(49, loss_rate=Decimal("0.02"), life_pulls=3, cost=Decimal("29.404"))
    tooling = next(line for line in cost.lines if line.kind == "tooling")
    assert cost.pulls == 50
    assert tooling.amount == 500


def test_to_the_order_as_many_moulds_are_made_as_the_mean_asks_for() -> None:
    # 50 pulls at a mean of 2.9404: the one at hand takes 2.9404, and (50 - 2.9404) / 2.9404
    # = 16.004 more: 17.
    assert cost_of(49, loss_rate=Decimal("0.02"), life_pulls=3).new_moulds == 17
    # Without loss 49 pulls of 3 each: 46 / 3 = 15.33: 16.
    assert cost_of(49, life_pulls=3).new_moulds == 16


def test_what_proves_a_mould_is_part_of_its_cost() -> None:
    # A pull is 15 min of ana at 15.00 an hour: 3.75. Two prove a mould of 20.00: 27.50 over the 8
    # pulls left of 10: 3.4375 a pull; 4 good ones: 13.75.
    cost = cost_of(4, life_pulls=10, proof_pulls=2, cost=Decimal(20))
    tooling = next(line for line in cost.lines if line.kind == "tooling")
    assert tooling.amount == Fraction("13.75")


def test_a_mould_may_be_lost_while_it_is_proved() -> None:
    # One proof pull of four, each lost by 0.1: 0.9 x (1 + 0.9 + 0.81) = 2.439 are sold.
    family = build.moulds(1, loss_rate=Decimal("0.1"), life_pulls=4, proof_pulls=1)
    assert family.mean_sold == Fraction("2.439")


def test_a_lost_pull_loses_all_its_parts() -> None:
    rates = good_rates(pressed(), Decimal("0.02"))
    assert (rates.part, rates.pull) == (1, Fraction("0.98"))
    # Two cavities, the mean rule: 98 good ones are 49 pulls / 0.98 = 50 pulls, 100 starts.
    assert starts_for(98, pressed(), 2, None, loss_rate=Decimal("0.02")).starts == 100


@pytest.mark.parametrize(("quantity", "starts"), [(49, 50), (98, 100)])
def test_a_plan_begins_what_the_loss_asks_for_and_its_check_agrees(
    quantity: int, starts: int
) -> None:
    shop = build.shop(
        pressed(),
        [build.order(quantity=quantity)],
        people=[build.person("ana")],
        moulds=[build.moulds(2, loss_rate=Decimal("0.02"))],
        service_level=None,
    )
    plan = make_plan(shop, now=NOW, seconds=0.2)
    assert plan.checked
    assert plan.orders[0].starts == starts
