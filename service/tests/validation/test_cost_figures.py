"""Cost figures from outside: break-even, burden, job cost."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from costing_bench import (
    attended,
    charged,
    family,
    loaded,
    material,
    mould_hold,
    part,
    person,
    process,
    shop,
    unattended,
)

from mouldwright.domain.compare import crossovers
from mouldwright.domain.costing.labour import hour_cost_of
from mouldwright.domain.costing.unit_cost import unit_cost, unit_costs
from mouldwright.domain.process.process import Consumable, Process
from mouldwright.domain.shop import Station


def way(key: str, fixed: str, each: str) -> Process:
    return process(
        key=key,
        consumables=(
            Consumable(name="tooling", cost=Decimal(fixed), per="order"),
            Consumable(name="piece", cost=Decimal(each), per="part"),
        ),
    )


# Three ways with a cost once and a cost a piece; constructed, crossings worked by hand:
# 20 + 55 n = 400 + 38 n at n = 380 / 17 = 22.35; 400 + 38 n = 1500 + 16 n at n = 50;
# 20 + 55 n = 1500 + 16 n at n = 1480 / 39 = 37.95, where casting is cheaper than both.
PRINTED, CAST, PRESSED = (
    way("printed", "20", "55"),
    way("cast", "400", "38"),
    way("pressed", "1500", "16"),
)


@pytest.mark.parametrize(
    ("quantity", "each"),
    [
        (1, ("75.00", "438.00", "1516.00")),
        (20, ("56.00", "58.00", "91.00")),
        (50, ("55.40", "46.00", "46.00")),
        (100, ("55.20", "42.00", "31.00")),
    ],
)
def test_unit_costs_of_three_ways_by_hand(quantity: int, each: tuple[str, ...]) -> None:
    found = tuple(
        unit_cost(shop(), part(), one, quantity, charge=None).per_good_part
        for one in (PRINTED, CAST, PRESSED)
    )
    assert found == tuple(Fraction(cost) for cost in each)


def test_the_cheapest_way_changes_at_23_and_51_and_the_dominated_crossing_is_left_out() -> None:
    swept = {
        one.key: unit_costs(shop(), part(), one, range(1, 101), charge=None)
        for one in (PRINTED, CAST, PRESSED)
    }
    assert [(c.from_quantity, c.process) for c in crossovers(swept)] == [
        (1, "printed"),
        (23, "cast"),
        (51, "pressed"),  # 50 is a tie
    ]


def test_a_job_of_material_labour_and_overhead() -> None:
    # Constructed: material 63.60, 3.5 h at 24 = 84.00, 3.5 h at 15 = 52.50: 200.10.
    bench = shop(
        person(wage="24"),
        material("stuff", cost_per_kg=Decimal("63.60")),
        overhead_per_hour=Decimal(15),
    )
    job = process(attended("make", "order", "210"))
    cost = unit_cost(bench, part(), job, 1, charge=charged(loaded("stuff", 1000.0)))
    assert cost.total == Fraction("200.10")
    assert cost.by_kind()["labour"] == 84
    assert cost.by_kind()["overhead"] == Fraction("52.50")


def test_an_hour_worked_costs_more_than_an_hour_paid() -> None:
    # Constructed: 20 an hour, 30 % on top, 2080 hours paid of which 1760 are worked:
    # 20 x 1.30 x 2080 / 1760 = 30.727273.
    someone = person(wage="20", on_cost_rate=Decimal("0.30"))
    idle = Decimal(2080 - 1760) / Decimal(2080)
    assert float(hour_cost_of(someone, shop(unbillable_share=idle))) == pytest.approx(
        30.727273, abs=5e-7
    )


def test_benefits_are_a_share_of_wages_and_not_of_the_total() -> None:
    # US Bureau of Labor Statistics, Employer Costs for Employee Compensation, June 2025,
    # private industry: total 45.65 an hour, wages 32.07, benefits 13.58. Benefits are
    # 29.8 % of the total and 42.3 % of wages; on-costs are the latter.
    wages, benefits = Decimal("32.07"), Decimal("13.58")
    right = person(wage="32.07", on_cost_rate=benefits / wages)
    assert float(hour_cost_of(right, shop())) == pytest.approx(45.65, abs=0.005)
    confused = replace(right, on_cost_rate=Decimal("0.298"))
    assert float(hour_cost_of(confused, shop())) < 42


def test_no_hour_is_left_where_nothing_is_billable() -> None:
    with pytest.raises(ValueError, match="no hour"):
        hour_cost_of(person(), shop(unbillable_share=Decimal(1)))


def test_a_mould_of_30_over_30_pours_is_one_a_piece() -> None:
    # Common practice, no source.
    pour = process(attended("pour", "pull"), holds=(mould_hold("pour", "pour"),))
    bench = shop(pour, family(life_pulls=30, cost=Decimal(30)))
    assert unit_cost(bench, part(), pour, 7, charge=None).per_good_part == 1


def test_break_even_is_the_quantity_from_which_making_costs_no_more_than_the_price() -> None:
    # psu.pb.unizin.org/acctg211, break-even analysis: 20,000 fixed, 400 a piece, 250 of it
    # variable. 20000 / (400 - 250) = 133.33, so from 134 on.
    made, sold = way("made", "20000", "250"), way("sold", "0", "400")
    swept = {
        one.key: unit_costs(shop(), part(), one, range(1, 201), charge=None) for one in (sold, made)
    }
    assert [(c.from_quantity, c.process) for c in crossovers(swept)] == [(1, "sold"), (134, "made")]


def test_overhead_is_absorbed_by_the_hour() -> None:
    # forums.aat.org.uk/Forum/discussion/448858: 245,000 over 17,500 hours is 14 an hour, so two
    # hours absorb 28.
    rate = Decimal(245_000) / 17_500
    job = process(attended("make", "order", "120"))
    cost = unit_cost(shop(person(wage="11"), overhead_per_hour=rate), part(), job, 1, charge=None)
    assert cost.by_kind()["overhead"] == 28
    assert cost.by_kind()["labour"] == 22


def test_what_was_absorbed_and_what_was_spent_differ_by_the_hours_that_came() -> None:
    # Constructed with the common method: 250,000 over 10,000 hours is 25; 9,600 hours absorb
    # 240,000, so of 248,000 spent 8,000 are not covered.
    rate = Decimal(250_000) / 10_000
    year = process(attended("work", "order", str(9_600 * 60)))
    cost = unit_cost(shop(overhead_per_hour=rate), part(), year, 1, charge=None)
    absorbed = cost.by_kind()["overhead"]
    assert absorbed is not None
    assert 248_000 - absorbed == 8_000


def test_an_hour_of_a_machine_bears_its_price_its_power_and_its_upkeep() -> None:
    # Constructed: 900 over 5 years of 1500 h, 0.12 kW at 0.30, a tenth of 900 a year for upkeep:
    # 0.120 + 0.036 + 0.060 = 0.216 an hour; ten hours of a print are 2.16.
    hour = Decimal(900) / (5 * 1500) + Decimal("0.12") * Decimal("0.30") + Decimal(90) / 1500
    printer = Station(key="printer", title="Printer", cost_per_hour=hour)
    job = process(unattended("print", "part", "600", station="printer"))
    cost = unit_cost(shop(printer), part(), job, 1, charge=None)
    assert cost.by_kind()["station"] == Fraction("2.16")


def test_a_step_in_fixed_cost_is_a_step_in_the_cost_of_one() -> None:
    # Constructed: 900 for each hundred, and 5 min at 36 an hour, 3 a piece. A hundred cost
    # 12.00 each, 101 take a second step: 1800 / 101 + 3 = 20.82.
    cast = process(attended("pour", "pull", "5"), holds=(mould_hold("pour", "pour"),))
    bench = shop(cast, family(0, life_pulls=100, cost=Decimal(900)), tooling="to the order")
    at_100, at_101 = unit_costs(bench, part(), cast, [100, 101], charge=None)
    assert at_100 == 12
    assert at_101 is not None
    assert round(float(at_101), 2) == 20.82
