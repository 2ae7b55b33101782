"""How many moulds an order wants beside what is booked, net of what the log has taken."""

from __future__ import annotations

from dataclasses import replace

from bench_log import done, entry, logged, pulled, work
from builders import alone, hands, hold, moulds, order, process, shop

from mouldwright.domain.costing.mould_need import mould_need
from mouldwright.domain.record.log import Happening
from mouldwright.domain.structure.kinds import MeasuredStructure

PRESSED = process(
    hands("load", 10),
    alone("cure", 600),
    hands("demould", 5),
    holds=[hold("load", "demould")],
    structure=MeasuredStructure(modulus_gpa=3.0, density_kg_m3=1000.0),
)


def need(quantity: int, *entries):
    """Two moulds of 30 pulls each; two orders of ten are open."""
    made = shop(PRESSED, [order("1", 10), order("2", 10)], moulds=[moulds(2, life_pulls=30)])
    return mould_need(replace(made, log=logged(*entries)), "fin", "pressed", quantity)


def taken(order: str, count: int):
    return [
        each
        for n in range(1, count + 1)
        for each in pulled(n, "fin-mould 1", charged=12 * n, out=12 * n + 11, order=order)
    ]


def test_pulls_that_the_log_has_taken_for_an_open_order_are_not_asked_for_again() -> None:
    # 60 pulls are left and 20 booked. Three of them taken leave 57, and 17 booked.
    assert [(n.left, n.wanted, n.more) for n in (need(40), need(41))] == [(60, 60, 0), (60, 61, 1)]
    found = [need(40, *taken("1", 3)), need(41, *taken("1", 3))]
    assert [(n.left, n.wanted, n.more) for n in found] == [(57, 57, 0), (57, 58, 1)]


def test_pulls_for_an_order_that_is_over_are_gone_from_the_moulds_all_the_same() -> None:
    found = need(40, *taken("over", 3))
    assert (found.left, found.wanted, found.more) == (57, 60, 1)


def test_a_mould_that_is_lost_takes_its_life_with_it() -> None:
    lost = entry(Happening.MOULD_LOST, 8, mould="fin-mould 2")
    found = need(20, lost)
    assert (found.left, found.wanted, found.more) == (30, 40, 1)


def test_a_pull_that_was_scrapped_in_the_mould_has_to_be_taken_again() -> None:
    load = work("load", mould="fin-mould 1", pulls=[1])
    found = need(
        40, *done(8, load), entry(Happening.SCRAPPED, 9, task=replace(load, operation="cure"))
    )
    # One pull of life gone, and still ten for each order.
    assert (found.left, found.wanted, found.more) == (59, 60, 1)
