"""What rework does to starts and cost: all figures by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import builders as build
import pytest

from mouldwright.domain.consistency.check import faults_of
from mouldwright.domain.costing.scrap import good_rates, starts_for
from mouldwright.domain.costing.unit_cost import UnitCost, unit_cost
from mouldwright.domain.process.process import Process
from mouldwright.domain.process.rework import Rework
from mouldwright.domain.rate import rate
from mouldwright.domain.shop import Shop

MEND = build.rework(
    "0.1",
    build.hands("fill", 6, per="part"),
    build.alone("set", 30, per="part"),
    share_again=Decimal("0.25"),
    most_rounds=2,
    cost_each=Decimal("0.40"),
)


def sanded(*reworks: Rework, **more: object) -> Process:
    return build.process(
        build.hands("sand", 10, per="part"),
        build.hands("inspect", 2, per="part"),
        build.hands("polish", 12, per="part", applies_to_share=Decimal("0.3")),
        reworks=reworks,
        **more,
    )


def shop_of(process: Process) -> Shop:
    return build.shop(
        process,
        parts=[build.part(made_by=[process.key])],
        people=[build.person("ana")],
        service_level=None,
    )


def cost_of(process: Process, quantity: int) -> UnitCost:
    shop = shop_of(process)
    return unit_cost(shop, shop.part("fin"), process, quantity, charge=None)


def test_what_fails_after_the_last_round_is_scrap() -> None:
    # By hand: 0.1 x 0.25 x 0.25 = 0.00625 of the parts.
    assert MEND.lost == Fraction("0.00625")
    assert good_rates(sanded(MEND)).each == Fraction("0.99375")


def test_a_round_that_spoils_parts_loses_those_that_go_through_it() -> None:
    # By hand: 0.2 need it, one round, 0.9 of those survive it and 0.2 of them need it again:
    # 0.8 + 0.2 x 0.9 x 0.8 = 0.944.
    mend = build.rework("0.2", build.hands("fill", 6, per="part", good_rate=Decimal("0.9")))
    assert good_rates(sanded(mend)).each == Fraction("0.944")


def test_scrap_of_rework_raises_the_starts_exactly() -> None:
    # By hand, the mean rule: 795 / 0.99375 = 800 exactly; one more good part: 801.006, 802.
    process = sanded(MEND)
    assert starts_for(795, process, 1, None).starts == 800
    assert starts_for(796, process, 1, None).starts == 802


def test_a_good_rate_of_work_on_a_share_spoils_only_that_share() -> None:
    # By hand: 1 - 0.3 x 0.5 = 0.85.
    process = build.process(
        build.hands(
            "drill", 1, per="part", applies_to_share=Decimal("0.3"), good_rate=Decimal("0.5")
        )
    )
    assert good_rates(process).each == Fraction("0.85")


def test_every_line_counts_the_share_that_goes_through() -> None:
    # By hand: 795 good parts are 800 begun. Sanded 800 x 10 min = 133 1/3 h at 15.00: 2000.00;
    # inspected 800 x 2: 400.00; filled 80 x 6 min = 8 h: 120.00; again 20 x 6 = 2 h: 30.00;
    # polished 240 x 12 = 48 h: 720.00; used up (80 + 20) x 0.40 = 40.00.
    cost = cost_of(sanded(MEND), 795)
    amounts = {line.text: line.amount for line in cost.lines}
    assert amounts["sand"] == 2000
    assert amounts["inspect"] == 400
    assert amounts["fill, 10 % of parts"] == 120
    assert amounts["fill, round 2, 2.5 % of parts"] == 30
    assert amounts["polish, 30 % of parts"] == 720
    assert amounts["used up by mend"] == 40
    assert cost.total == 3310


def test_work_on_a_share_leaves_the_rest_of_the_hour() -> None:
    # By hand, minutes of ana a part: 10 + 2 + 0.3 x 12 + 6 x (0.1 + 0.025) = 16.35 of 60.
    process = sanded(MEND)
    shop = shop_of(process)
    found = rate(shop, shop.part("fin"), process).per_hour_at_bench
    assert found == pytest.approx(60 / 16.35)


def problems(process: Process) -> list[str]:
    return [
        f"{f.path}: {f.problem}"
        for f in faults_of(shop_of(process))
        if not f.is_warning and ("reworks" in f.path or "share" in f.path or "holds" in f.path)
    ]


def test_a_rework_that_cannot_be_right_says_why() -> None:
    assert problems(sanded(MEND)) == []
    nowhere = build.rework("0.1", build.hands("fill", 6, per="part"), found_at="inspct")
    assert problems(sanded(nowhere)) == [
        'processes.pressed.reworks["mend"].found_at: there is no operation of that name.'
    ]
    whole = build.rework("0.1", build.hands("fill", 6, per="order"))
    assert problems(sanded(whole)) == [
        'processes.pressed.reworks["mend"].operations["fill"].per: rework is done to single parts.'
    ]


def test_a_hold_of_some_parts_alone_is_refused() -> None:
    process = sanded(MEND, holds=[build.hold("sand", "fill", "rack")])
    assert any("nothing says from when to when it is kept" in words for words in problems(process))
