"""Prints that fail and are begun again: by hand, and what they cost and take."""

from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from costing_bench import (
    attended,
    charged,
    loaded,
    material,
    part,
    person,
    process,
    shop,
    unattended,
)

from mouldwright.domain.costing.unit_cost import unit_cost
from mouldwright.domain.process.printing_risk import (
    comes_through,
    drawn_minutes_lost,
    failures_each,
    minutes_lost,
    share_gone,
)
from mouldwright.domain.process.process import Hold
from mouldwright.domain.rate import rate
from mouldwright.domain.shop import Station

OFTEN = Decimal("0.02")


def test_ten_hours_at_one_failure_in_fifty_by_hand() -> None:
    # exp(-0.2) = 0.818731 comes through; exp(0.2) - 1 = 0.221403 failures before it does;
    # 1/0.2 - 1/0.221403 = 5 - 4.516656 = 0.483344 of the ten hours gone at each; in all
    # 0.221403 x 4.83344 h = 1.070138 h lost, which is (exp(0.2) - 1)/0.02 - 10.
    assert comes_through(OFTEN, 600) == pytest.approx(0.818731, abs=5e-7)
    assert failures_each(OFTEN, 600) == pytest.approx(0.221403, abs=5e-7)
    assert share_gone(OFTEN, 600) == pytest.approx(0.483344, abs=5e-7)
    assert float(minutes_lost(OFTEN, 600)) / 60 == pytest.approx(1.070138, abs=5e-7)
    assert minutes_lost(Decimal(0), 600) == 0


def test_a_chance_by_the_hour_is_the_same_with_its_logarithm() -> None:
    # 2 % in an hour: 0.98^10 = 0.817073 comes through, and -ln 0.98 = 0.0202027.
    assert comes_through(Decimal("0.0202027"), 600) == pytest.approx(0.98**10, abs=1e-6)


def test_what_rarely_fails_is_half_done_when_it_does() -> None:
    assert share_gone(Decimal("0.00000001"), 60) == pytest.approx(0.5)
    assert share_gone(Decimal("0.001"), 60) == pytest.approx(0.5 - 0.001 / 12, abs=1e-9)


def test_drawn_losses_have_the_mean_worked_out_and_are_none_as_often() -> None:
    runs = 40_000
    lost = drawn_minutes_lost(OFTEN, np.full(runs, 600.0), np.random.default_rng(3))
    # Deviation of one: about 150 min, so four standard errors are 3 min.
    assert lost.mean() == pytest.approx(64.208, abs=4 * lost.std() / runs**0.5)
    assert (lost == 0).mean() == pytest.approx(0.818731, abs=4 * (0.82 * 0.18 / runs) ** 0.5)
    assert lost.min() >= 0


PRINTER = Station(key="printer", title="Printer", cost_per_hour=Decimal(2))


def printed(per: str = "batch", **more: object):
    return process(
        attended("start", per, "0", batch_parts=2 if per == "batch" else None),
        unattended("print", per, "0", each_min=Decimal(300), failures_per_hour=OFTEN, **more),
        key="printed",
        holds=(Hold(resource="printer", first="start", last="print"),),
    )


def test_an_order_pays_the_printer_and_the_filament_of_what_fails() -> None:
    # Four parts are two plates of two, 10 h each. By hand: 2 x 1.070138 h at 2.00 = 4.280553;
    # of 4 x 100 g the share 0.1070138 is lost, 42.80553 g at 30.00 a kilogram = 1.284166.
    bench = shop(person(), PRINTER, material("filament", cost_per_kg=Decimal(30)), printed())
    cost = unit_cost(bench, part(), printed(), 4, charge=charged(loaded("filament", 100.0)))
    lines = {line.text: line for line in cost.lines}
    assert lines["Printer"].amount == 40
    assert float(lines["Printer, lost to print that failed"].amount) == pytest.approx(
        4.280553, abs=1e-5
    )
    assert lines["Filament"].amount == 12
    lost = lines["Filament, lost to print that failed"]
    assert float(lost.amount) == pytest.approx(1.284166, abs=1e-5)
    assert cost.total == sum(line.amount for line in cost.lines)
    # What is bought covers it too.
    assert float(cost.drawn["filament", "g"]) == pytest.approx(442.80553, abs=1e-4)


def test_smaller_plates_lose_less() -> None:
    # Singly, 5 h each: (exp(0.1) - 1)/0.02 - 5 = 0.258546 h of each, 1.034184 h of four.
    bench = shop(person(), PRINTER, material("filament", cost_per_kg=Decimal(30)))
    cost = unit_cost(bench, part(), printed("part"), 4, charge=charged(loaded("filament", 100.0)))
    lines = {line.text: line for line in cost.lines}
    lost = lines["Printer, lost to print that failed"]
    assert float(lost.quantity) == pytest.approx(1.034184, abs=1e-5)


def test_a_printer_that_fails_lets_fewer_through_day_after_day() -> None:
    # By the share of its time that is kept, 10 h of 11.070138.
    bench = shop(person(), PRINTER)
    sound = process(
        attended("start", "batch", "0", batch_parts=2),
        unattended("print", "batch", "0", each_min=Decimal(300)),
        key="printed",
        holds=(Hold(resource="printer", first="start", last="print"),),
    )
    days = {
        way: {limit.name: limit.per_day for limit in rate(bench, part(), one).limits}["printer"]
        for way, one in (("sound", sound), ("fails", printed()))
    }
    assert days["fails"] / days["sound"] == pytest.approx(10 / 11.070138, abs=1e-6)


def test_nothing_is_lost_where_no_failure_is_stated() -> None:
    bench = shop(person(), PRINTER)
    sound = process(unattended("print", "part", "300", station="printer"))
    cost = unit_cost(bench, part(), sound, 2, charge=None)
    assert [line.text for line in cost.lines if line.kind == "station"] == ["Printer"]
    assert cost.total == Fraction(20)
