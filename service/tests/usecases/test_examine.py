"""What no plan can do is known before one is asked for."""

from __future__ import annotations

from builders import MONDAY
from written_shop import edited

from mouldwright.domain.hours.opening import minute_of
from mouldwright.scenario.read import read_scenario_text
from mouldwright.usecases.examine import never_possible


def limits(*edits: tuple[str, str]) -> tuple[str, ...]:
    shop = read_scenario_text(edited(*edits)).shop
    return never_possible(shop, now=minute_of(MONDAY))


def test_a_shop_that_can_make_all_it_names_has_no_limits() -> None:
    assert limits() == ()


def test_an_order_beyond_the_life_of_its_moulds_is_named() -> None:
    # Two thousand good ones out of moulds of 25 pulls, three of them; 2 of 25 prove a mould, so
    # that three give 69. 2266 - 69 = 2197 are 95.5 times 23.
    (limit,) = limits(('quantity = 12\nprocess = "pressed"', 'quantity = 2000\nprocess = "cast"'))
    assert "vane-cast" in limit
    assert "96 more moulds vane-cast would do" in limit


def test_a_part_nobody_ordered_yet_is_looked_at_too() -> None:
    # Twenty times the length takes more resin than may be mixed at once.
    found = limits(("span_mm = 210", "span_mm = 4200"))
    assert any("may be mixed at once" in limit for limit in found)
