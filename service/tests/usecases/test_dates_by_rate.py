"""A date by the rate alone is none that no plan can give."""

from dataclasses import replace

import pytest
from promise_bench import DEMO

from mouldwright.domain.costing.mould_need import mould_need
from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.order import Order
from mouldwright.planning.run import make_plan
from mouldwright.usecases.enquiry import finish_by_rate

SHOP = DEMO
NOW = minute_of(DEMO.start)
PART = "stabiliser"


@pytest.mark.parametrize("process", ["pressed", "cast"])
def test_where_moulds_do_not_last_the_rate_refuses_as_the_plan_does(process):
    with pytest.raises(HardLimit) as by_rate:
        finish_by_rate(SHOP, PART, process, 250, NOW)
    more = Order(number="new", part=PART, process=process, quantity=250)
    with pytest.raises(HardLimit) as planned:
        make_plan(replace(SHOP, orders=(*SHOP.orders, more)), now=NOW, seconds=0.1)
    assert by_rate.value.reasons == planned.value.reasons


def test_what_is_booked_counts_and_without_it_the_same_moulds_last():
    booked = [o for o in SHOP.orders if (o.part, o.process) == (PART, "pressed")]
    alone = replace(SHOP, orders=())
    assert booked
    left = mould_need(alone, PART, "pressed", 1).left
    most = max(n for n in range(1, left + 1) if not mould_need(alone, PART, "pressed", n).more)
    assert finish_by_rate(alone, PART, "pressed", most, NOW).finish > NOW
    with pytest.raises(HardLimit, match="more mould"):
        finish_by_rate(SHOP, PART, "pressed", most, NOW)


def test_a_shop_that_makes_its_moulds_has_a_date_all_the_same():
    family = replace(SHOP.moulds["stabiliser-cast"], made_by="mould-printing")
    made = replace(SHOP, moulds={**SHOP.moulds, family.key: family})
    assert mould_need(made, PART, "cast", 250).more > 0
    assert finish_by_rate(made, PART, "cast", 250, NOW).finish > NOW
