"""What a date's time goes into: each order's hands and cures under its own number."""

from __future__ import annotations

import math
from random import Random

import builders as build
import pytest
from random_shops import draw

from mouldwright.domain.shop import Shop
from mouldwright.planning.explain import Explainer
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
DAYS = build.opening(build.week("08:00-16:00"))


def kept_by_another() -> tuple[Shop, Plan]:
    """Return order 1, kept by the hands, the cure and the short morning's work of order Q2.

    One bench person, Ana, in from 08:00 to 16:00. Monday: fill of Q2 to 08:10, then fill of 1 to
    08:20. Cures of 12 h end at 20:10 (Q2) and 20:20 (1). Tuesday: Q2 is out first, 08:00 to
    08:05, then 1 to 08:10.
    """
    process = build.process(
        build.hands("fill", 10), build.alone("cure", 720), build.hands("demould", 5),
        holds=[build.hold("fill", "demould")],
    )  # fmt: skip
    shop = build.shop(
        process,
        [build.order(), build.order("Q2")],
        people=[build.person("ana")],
        moulds=[build.moulds(2)],
        hours=DAYS,
    )
    tasks = []
    for begins, order, mould, out in ((0, "Q2", 1, 1440), (10, "1", 2, 1445)):
        where = {"pull": 1, "order": order, "mould": f"fin-mould {mould}"}
        start = NOW + begins
        tasks += [
            build.task("fill", start, start + 10, "ana", **where),
            build.task("cure", start + 10, start + 730, **where),
            build.task("demould", NOW + out, NOW + out + 5, "ana", **where),
        ]
    return shop, build.plan(shop, NOW, tasks, starts={"1": 1, "Q2": 1})


def test_a_night_that_the_orders_own_work_waits_for_too_is_its_own() -> None:
    shop, plan = kept_by_another()
    why = Explainer(shop, plan).why("1")
    # Without Q2 the demould would begin at 08:00 all the same: its own cure is over at 20:20.
    assert [(link.start - NOW, link.end - NOW, link.kind) for link in why.chain.links[:4]] == [
        (1445, 1450, "hands"),
        (1440, 1445, "hands"),
        (740, 1440, "closed"),
        (20, 740, "alone"),
    ]
    assert "waits for the same opening" in why.stretches[0].why


def test_another_orders_hands_and_cures_are_counted_apart_under_its_own_number() -> None:
    shop, plan = kept_by_another()
    # By hand, Tuesday 08:10 back to Monday 08:00, 24 h 10: cure 12 h; closed 20:20 to 08:00, 11 h
    # 40; of 1 the fill 10 and the demould 5; of Q2 the fill 10 and the demould 5.
    assert {s.what: s.minutes for s in Explainer(shop, plan).why("1").shares} == {
        "cures and machines": 720,
        "closed hours": 700,
        "work on the order": 15,
        "ana busy with order Q2": 15,
    }


def test_another_orders_cure_is_not_counted_as_hands() -> None:
    # One mould: Q2 has it from 08:00 to 09:45 (fill 10, cure 90, demould 5), then order 1.
    process = build.process(
        build.hands("fill", 10), build.alone("cure", 90), build.hands("demould", 5),
        holds=[build.hold("fill", "demould")],
    )  # fmt: skip
    shop = build.shop(
        process,
        [build.order(), build.order("Q2", weight=9, due=build.instant("2027-03-01 09:45"))],
        people=[build.person("ana")],
        moulds=[build.moulds()],
        hours=DAYS,
    )
    plan = make_plan(shop, now=NOW, seconds=0.2)
    assert {s.what: s.minutes for s in Explainer(shop, plan).why("1").shares} == {
        "cures and machines": 90,
        "cures and machines of order Q2": 90,
        "work on the order": 15,
        "ana busy with order Q2": 15,
    }


@pytest.mark.parametrize("seed", range(12))
def test_what_the_time_goes_into_is_no_more_than_each_order_takes(seed: int) -> None:
    drawn = draw(Random(seed))
    plan = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=3)
    explainer = Explainer(drawn.shop, plan)
    for outcome in plan.orders:
        why = explainer.why(outcome.number)
        assert sum(s.minutes for s in why.shares) == why.chain.finish - why.chain.origin
        for other in plan.orders:
            of = [t for t in plan.tasks if any(m.order == other.number for m in t.members)]
            for alone in (True, False):
                takes = sum(
                    b - a for t in of if alone == (not t.people) for a, b in t.spans
                )  # fmt: skip
                told_of = [
                    s.minutes
                    for s in why.shares
                    if s.what.endswith(f" order {other.number}")
                    and alone == s.what.startswith("cures")
                ]
                assert sum(told_of) <= takes
