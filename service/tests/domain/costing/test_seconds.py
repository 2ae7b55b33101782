"""Good, second or scrap: how many seconds come out and what they bring; all by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import builders as build

from mouldwright.domain.costing.outcomes import second_rate
from mouldwright.domain.costing.unit_cost import UnitCost, unit_cost
from mouldwright.domain.process.process import Process


def judged(**more: object) -> Process:
    return build.process(
        build.hands("cast", 10, per="part", good_rate=Decimal("0.8"), second_rate=Decimal("0.1")),
        build.hands("trim", 2, per="part", good_rate=Decimal("0.9"), **more),
    )


def cost_of(process: Process, quantity: int, price: str | None) -> UnitCost:
    part = build.part(made_by=[process.key], second_price=None if price is None else Decimal(price))
    shop = build.shop(process, parts=[part], people=[build.person("ana")], service_level=None)
    return unit_cost(shop, part, process, quantity, charge=None)


def test_a_second_passes_everything_and_is_good_at_no_more_than_all_but_one() -> None:
    # 0.8 x 0.9 = 0.72 are good; (0.8 + 0.1) x 0.9 = 0.81 are not scrap: 0.09 are seconds.
    assert second_rate(judged()) == Fraction("0.09")
    # A tenth of the trimmed ones may be seconds too: 0.9 x 1.0 - 0.72 = 0.18.
    assert second_rate(judged(second_rate=Decimal("0.1"))) == Fraction("0.18")
    # A mould lost on one pull in ten takes its parts with it: 0.9 of them.
    assert second_rate(judged(), Decimal("0.1")) == Fraction("0.081")


def test_seconds_of_work_on_a_share_come_from_that_share() -> None:
    process = build.process(
        build.hands(
            "drill", 1, per="part", applies_to_share=Decimal("0.5"), good_rate=Decimal("0.8"),
            second_rate=Decimal("0.2"),
        )
    )  # fmt: skip
    # Half are drilled; a fifth of those are seconds: 0.1, and 0.9 are good.
    assert second_rate(process) == Fraction("0.1")


def test_seconds_take_nothing_off_the_cost_and_are_told_beside_it() -> None:
    # 72 good ones by the mean rule: 100 begun, 9 seconds on average. 100 x 12 min at 15.00 an
    # hour = 300.00, 4.1667 each. At 6.00 they bring 54.00: (300 - 54) / 72 = 3.4167.
    cost = cost_of(judged(), 72, "6.00")
    assert (cost.starts, cost.total) == (100, 300)
    assert cost.seconds is not None
    assert (cost.seconds.expected, cost.seconds.income) == (9, 54)
    assert cost.per_good_part == Fraction(300, 72)
    assert cost.per_good_part_after_seconds == Fraction(246, 72)
    assert any("9 seconds" in words and "54.00 EUR" in words for words in cost.cautions)


def test_seconds_without_a_price_bring_nothing_that_is_known() -> None:
    cost = cost_of(judged(), 72, None)
    assert cost.seconds is not None
    assert cost.seconds.income is None
    assert cost.per_good_part_after_seconds is None
    assert any("parts.fin.second_price" in words for words in cost.cautions)


def test_where_no_operation_finds_seconds_nothing_is_said_of_them() -> None:
    cost = cost_of(build.process(build.hands("cast", 10, per="part")), 3, "6.00")
    assert cost.seconds is None
    assert not any("seconds" in words for words in cost.cautions)
