"""How much can be done by a minute where moulds are few and hands are many."""

from __future__ import annotations

import builders as build

from mouldwright.domain.shop import Shop
from mouldwright.planning.attempt import Engine
from mouldwright.planning.flow.dates import DatesBound
from mouldwright.planning.flow.early import most_work
from mouldwright.planning.flow.finish import FinishBound
from mouldwright.planning.flow.instance import FlowInstance
from mouldwright.planning.flow.stages import lay_out
from mouldwright.planning.reduce import as_flow

NOW = build.at("2027-03-01 08:00")
NOON = 240
DAY = 1440


def pressed(quantity: int, due: str, *, fill: int = 30) -> Shop:
    """Return an order on two moulds: fill, cure 20 h, empty 10; three people, 08:00 to 12:00."""
    process = build.process(
        build.hands("fill", fill),
        build.alone("cure", 1200),
        build.hands("empty", 10),
        holds=[build.hold("fill", "empty")],
    )
    return build.shop(
        process,
        [build.order(quantity=quantity, due=build.instant(due))],
        people=[build.person(name) for name in ("ana", "ben", "cleo")],
        moulds=[build.moulds(2)],
        hours=build.opening(build.week("08:00-12:00")),
    )


def flow_of(shop: Shop) -> FlowInstance:
    flow = as_flow(Engine.for_shop(shop, now=NOW).problem, 20_000)
    assert flow is not None
    return flow


def test_hands_have_no_more_to_do_than_the_moulds_allow() -> None:
    # By hand: Monday two moulds are filled, 2 x 30. Tuesday both are emptied by 08:10 and filled
    # again: 2 x 40 + 2 x 30 = 140. Wednesday emptied, and the fifth and last is filled: 4 x 40 +
    # 30 = 190; Thursday it is emptied: 200. There are 720 person-minutes a day for it.
    bound = FinishBound(lay_out(flow_of(pressed(5, "2027-03-09 12:00"))))
    noons = [NOON + day * DAY for day in range(4)]
    assert most_work(bound, noons) == [60, 140, 190, 200]


def test_where_there_is_work_enough_hands_are_what_there_is() -> None:
    # By hand: filling takes all of a morning, and of three people two can fill.
    bound = FinishBound(lay_out(flow_of(pressed(5, "2027-03-09 12:00", fill=240))))
    assert most_work(bound, [NOON]) == [480]


def test_a_first_day_without_work_makes_the_last_order_late() -> None:
    # By hand: five pulls are filled on Monday, Tuesday and Wednesday, so the fifth is emptied
    # Thursday 08:10, two days less 230 min after Tuesday noon.
    shop = pressed(5, "2027-03-02 12:00")
    flow = flow_of(shop)
    bound = DatesBound(flow, FinishBound(lay_out(flow)), value=0, most_late=20_000)
    asked = iter(range(40))
    bound.refine(lambda: next(asked, None) is None, seed=1, work=1.0)
    assert bound.value == 2 * DAY - 230
