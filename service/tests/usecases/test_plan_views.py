from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from builders import at, hands, moulds, order, person, process, shop, task
from builders import plan as planned

from mouldwright.usecases.plan_views import Sight, tasks_seen

SHOP = shop(
    process(hands("press", 60)), [order("1"), order("2")], people=[person("ada")], moulds=[moulds()]
)
MONDAY_PRESS = task(
    "press", at("2027-03-01 08:00"), at("2027-03-01 09:00"), "ada", mould="fin-mould 1", pull=1
)
CURE = task("cure", at("2027-03-01 20:00"), at("2027-03-03 00:00"), mould="fin-mould 1", pull=1)
OTHER = task(
    "press", at("2027-03-02 08:00"), at("2027-03-02 09:00"), "jon", mould="fin-mould 2", pull=1,
    order="2",
)  # fmt: skip
PLAN = planned(SHOP, at("2027-03-01 08:00"), [OTHER, CURE, MONDAY_PRESS], starts={"1": 1, "2": 1})


@pytest.mark.parametrize(
    ("sight", "seen"),
    [
        (Sight(), (MONDAY_PRESS, CURE, OTHER)),
        (Sight(order="2"), (OTHER,)),
        (Sight(person="ada"), (MONDAY_PRESS,)),
        (Sight(mould="fin-mould 1"), (MONDAY_PRESS, CURE)),
        (Sight(day=date(2027, 3, 1)), (MONDAY_PRESS, CURE)),
        (Sight(day=date(2027, 3, 2)), (CURE, OTHER)),
        (Sight(day=date(2027, 3, 2), mould="fin-mould 1"), (CURE,)),
        (Sight(person="nobody"), ()),
    ],
)
def test_each_sees_what_is_theirs_the_first_to_begin_first(sight, seen):
    assert tasks_seen(PLAN, sight) == seen


def test_a_task_that_ends_at_midnight_is_not_of_the_day_that_begins_then():
    assert CURE not in tasks_seen(PLAN, Sight(day=date(2027, 3, 3)))


def test_a_day_is_the_shops_own():
    # 20:00 in UTC on Monday is 05:00 on Tuesday in Tokyo (UTC+9 all year).
    seen = tasks_seen(replace(PLAN, zone="Asia/Tokyo"), Sight(day=date(2027, 3, 1)))
    assert seen == (MONDAY_PRESS,)
