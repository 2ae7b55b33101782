"""What an order may cost, against sums that can be worked out. All money is by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import comb, sqrt

import builders as build
import pytest

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.risk import cost_odds
from mouldwright.domain.costing.unit_cost import cost_of
from mouldwright.domain.estimate import OddsPolicy, Range

DRAWS = 20_000


def spread(least, most):
    return Range(least=Decimal(str(least)), most=Decimal(str(most)))


def odds_of(*operations, quantity=1, net=10**6, draws=DRAWS, seed=1, wage_range=None, **more):
    """Return the odds of parts made by one person at 60 an hour: a minute costs 1."""
    paid = replace(build.person("ana"), wage_per_hour=Decimal(60), wage_range=wage_range)
    shop = build.shop(
        build.process(*operations), [build.order("1", quantity)], people=[paid], **more
    )
    model = cost_model(shop, shop.part("fin"), shop.process("pressed"), charge=None)
    cost = cost_of(model, quantity)
    return cost_odds(
        [(model, quantity)], quantity=quantity, total=cost.total, net=Fraction(net), draws=draws,
        seed=seed,
    )  # fmt: skip


TRIANGLE = OddsPolicy(shape="triangle")


def test_one_uncertain_step_costs_what_its_distribution_says() -> None:
    # One part of 20 min, from 10 to 40, a triangle. P(X <= 20) = 10/30; above, 1 - (40-x)^2/600:
    # half by 40 - sqrt(300) = 22.679, 80 % by 40 - sqrt(120) = 29.046, 95 % by 34.523.
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 2))
    found = odds_of(work, odds=TRIANGLE, net=30)
    assert found.mean == pytest.approx(70 / 3, abs=4 * sqrt(700 / 18 / DRAWS))
    assert found.p50 == pytest.approx(40 - sqrt(300), abs=0.2)
    assert found.p80 == pytest.approx(40 - sqrt(120), abs=0.2)
    assert found.p95 == pytest.approx(40 - sqrt(30), abs=0.2)
    # Sold for 30 it covers its cost with 1 - 100/600.
    assert found.profit_chance == pytest.approx(5 / 6, abs=4 * sqrt(5 / 36 / DRAWS))


def test_what_is_done_often_averages_out_unless_it_goes_together() -> None:
    # 100 parts of 20 min as above: the mean of 100 deviates by a tenth of one, and is as good
    # as normal: 95 % by 23.333 + 1.645 x 0.6236.
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 2))
    found = odds_of(work, odds=TRIANGLE, quantity=100)
    deviation = sqrt(700 / 18) / 10
    assert found.p95 == pytest.approx(70 / 3 + 1.645 * deviation, abs=0.05)
    # Wholly together, a hundred are as uncertain as one.
    alike = OddsPolicy(shape="triangle", together=Decimal(1))
    found = odds_of(work, odds=alike, quantity=100)
    assert found.p95 == pytest.approx(40 - sqrt(30), abs=0.2)
    assert found.mean == pytest.approx(70 / 3, abs=0.2)


def test_a_few_are_drawn_one_by_one() -> None:
    # Four parts: variance of their mean is a fourth of 700/18. No outcome lies below 10.
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 2))
    found = odds_of(work, odds=TRIANGLE, quantity=4)
    assert found.mean == pytest.approx(70 / 3, abs=4 * sqrt(700 / 18 / 4 / DRAWS))


def test_good_parts_left_to_chance_cost_what_is_made_for_them() -> None:
    # 10 wanted at a level of 0.7: 12 begun give ten with 0.8891, 11 with 0.6974 (binomial of
    # 0.9). Where 12 are not enough more is made. A part costs 20.
    work = build.hands("trim", 20, per="part", good_rate=Decimal("0.9"))
    found = odds_of(work, quantity=10, service_level=Decimal("0.7"), net=240)
    p = Fraction(9, 10)
    enough = sum(comb(12, k) * p**k * (1 - p) ** (12 - k) for k in range(10, 13))
    assert found.p50 == pytest.approx(24.0)
    assert found.profit_chance == pytest.approx(float(enough), abs=4 * sqrt(0.1 / DRAWS))
    assert [driver.name for driver in found.drivers] == ["how many turn out good"]


def test_a_wage_and_overhead_follow_the_hours_drawn() -> None:
    # 20 min at 1 a minute and 0.5 of overhead: 30; the wage may be up to half as much again.
    work = build.hands("trim", 20, per="part")
    found = odds_of(work, odds=TRIANGLE, wage_range=spread(1, 1.5), overhead_per_hour=Decimal(30))
    # The wage's share is a triangle falling from 1 to 1.5: mean 1 + 0.5/3.
    assert found.mean == pytest.approx(20 * (1 + 0.5 / 3) + 10, abs=0.1)
    slow = build.hands("trim", 20, per="part", time_range=spread(1, 2))
    found = odds_of(slow, odds=TRIANGLE, overhead_per_hour=Decimal(30))
    # Time is a triangle falling from 1 to 2: mean 4/3, on wage and overhead alike.
    assert found.mean == pytest.approx(30 * 4 / 3, abs=0.3)


def test_the_input_that_moves_most_stands_first() -> None:
    found = odds_of(
        build.hands("sand", 60, per="part", time_range=spread(0.9, 1.1)),
        build.hands("pack", 5, per="part", time_range=spread(0.5, 2)),
        build.hands("coat", 60, per="part", time_range=spread(0.5, 2)),
        odds=TRIANGLE,
    )
    assert [driver.name for driver in found.drivers] == [
        "the time of coat",
        "the time of sand",
        "the time of pack",
    ]
    first = found.drivers[0]
    # Of a triangle 0.5, 1, 2: a tenth by 0.5 + sqrt(0.1 x 1.5 x 0.5), nine by 2 - sqrt(0.1 x 1.5).
    wide = 60 * (2 - sqrt(0.15) - 0.5 - sqrt(0.075))
    assert first.swing == pytest.approx(wide, rel=0.03)


def test_without_ranges_the_cost_is_as_reckoned() -> None:
    found = odds_of(build.hands("trim", 20, per="part"), quantity=3, net=60)
    assert (found.mean, found.p50, found.p95) == (20.0, 20.0, 20.0)
    assert found.profit_chance == 1.0
    assert found.drivers == ()


def test_the_same_seed_draws_the_same() -> None:
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 2))
    assert odds_of(work, draws=500, seed=3) == odds_of(work, draws=500, seed=3)
    assert odds_of(work, draws=500, seed=3) != odds_of(work, draws=500, seed=4)
