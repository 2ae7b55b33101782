"""A question asked of a shop that is otherwise than it is written."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from promise_bench import DEMO

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.hours.opening import minute_of
from mouldwright.usecases.enquiry import compare, finish_by_rate
from mouldwright.usecases.what_if import WhatIf, force_before_factor_n, with_what_if

NOW = minute_of(DEMO.start)


def _compared(what_if: WhatIf, part: str = "stabiliser"):
    shop = with_what_if(DEMO, part, what_if)
    found = compare(shop, part, 12, now=NOW, finish=finish_by_rate)
    return {choice.process: choice for choice in found.choices}


def test_nothing_otherwise_is_the_shop_as_written():
    assert with_what_if(DEMO, "stabiliser", WhatIf()) == DEMO
    assert not WhatIf().is_any
    assert WhatIf(mass_g=3.0).is_any


def test_twice_the_force_bends_twice_as_far():
    # The small-deflection beam is linear in its load.
    before = _compared(WhatIf())["pressed"].judgement.deflection_mm
    after = _compared(WhatIf(force_n=28.0))["pressed"].judgement.deflection_mm
    assert after == pytest.approx(2 * before)


def test_less_allowed_fails_what_passed_and_changes_no_cost():
    before, after = _compared(WhatIf()), _compared(WhatIf(deflection_mm=0.5))
    assert before["pressed"].passes
    assert not after["pressed"].passes
    assert after["pressed"].cost.total == before["pressed"].cost.total


def test_a_wage_moves_hands_and_nothing_else():
    # Hands cost wage x (1 + on-cost) / (1 - unbillable share), and both people share on-costs.
    before = _compared(WhatIf())["pressed"].cost.by_kind()
    after = _compared(WhatIf(wage_per_hour=Decimal(20)))["pressed"].cost.by_kind()
    an_hour = Fraction(20) * Fraction(124, 100) / Fraction(85, 100)
    hours = _compared(WhatIf())["pressed"].cost.people_hours
    assert float(after["labour"] + after["conditioning"]) == pytest.approx(
        float(an_hour * Fraction(hours)), rel=1e-4
    )
    assert {kind for kind in before if before[kind] != after[kind]} <= {"labour", "conditioning"}


def test_materials_a_tenth_dearer_cost_a_tenth_more():
    before = _compared(WhatIf())["pressed"].cost.by_kind()
    after = _compared(WhatIf(materials_change=Decimal("0.1")))["pressed"].cost.by_kind()
    assert after["material"] == before["material"] * Fraction(11, 10)
    assert after["labour"] == before["labour"]


def test_a_margin_moves_the_price_and_not_the_cost():
    before, after = _compared(WhatIf())["cast"], _compared(WhatIf(rate=Decimal("0.5")))["cast"]
    assert after.cost.total == before.cost.total
    # At a margin of half, the price is twice the cost.
    twice = DEMO.currency.round(2 * after.cost.per_good_part)
    assert abs(after.price.price_each - twice) <= Decimal("0.01")


def test_a_stated_force_stands_in_place_of_a_speed():
    part = with_what_if(DEMO, "main-foil", WhatIf(force_n=50.0)).part("main-foil")
    assert part.requirement.speed_m_s is None
    assert force_before_factor_n(part) == 50.0
    assert part.requirement.factor == DEMO.part("main-foil").requirement.factor


def test_the_force_of_a_speed_is_half_rho_v_squared_times_area_times_lift():
    # 0.5 x 1000 x 2.2^2 Pa on 420 x (96 + 72) / 2 mm2, times 0.6.
    expected = 0.5 * 1000 * 2.2**2 * 420 * 84 * 1e-6 * 0.6
    assert force_before_factor_n(DEMO.part("main-foil")) == pytest.approx(expected)


def test_of_a_part_of_which_nothing_is_asked_load_and_bend_are_given_together():
    from dataclasses import replace

    part = replace(DEMO.part("stabiliser"), requirement=None)
    shop = replace(DEMO, parts={**DEMO.parts, "stabiliser": part})
    assert with_what_if(shop, "stabiliser", WhatIf()).part("stabiliser").requirement is None
    with pytest.raises(InvalidInput, match="Give the load and the most it may bend"):
        with_what_if(shop, "stabiliser", WhatIf(force_n=3.0))
    asked = with_what_if(shop, "stabiliser", WhatIf(force_n=3.0, deflection_mm=4.0))
    assert asked.part("stabiliser").requirement.support == "cantilever"
