"""What would change the answer on the demo bench: both sides of each value, compared anew."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from promise_bench import DEMO

from mouldwright.domain.errors import InvalidInput, NotFound
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.switching.input import Enquiry
from mouldwright.usecases.enquiry import compare, what_changes

NOW = minute_of(DEMO.start)


def _at_once(*_asked: object) -> ReadyBy:
    """Return a date; none is asked for, so none counts."""
    return ReadyBy(finish=NOW)


def _recommended(enquiry: Enquiry) -> str | None:
    found = compare(enquiry.shop, enquiry.part, enquiry.quantity, now=NOW, finish=_at_once, swept=1)
    return found.recommended.process


@pytest.mark.parametrize(
    ("part", "quantity", "tried"), [("sensor-fin", 16, 3), ("camera-boom", 6, 8)]
)
def test_the_answer_holds_to_the_last_value_and_is_another_at_the_next(part, quantity, tried):
    enquiry = Enquiry(shop=DEMO, part=part, quantity=quantity)
    changes = what_changes(DEMO, part, quantity, now=NOW)
    assert changes.process == _recommended(enquiry)
    assert len(changes.switches) > 8
    for switch in changes.switches[:tried]:
        held = _recommended(switch.input.put(enquiry, switch.holds_to))
        there = _recommended(switch.input.put(enquiry, switch.at))
        assert (held, there) == (changes.process, switch.instead), switch.input.key
        assert abs(switch.at - switch.holds_to) == switch.input.step


def test_each_number_is_put_where_its_key_says():
    changes = what_changes(DEMO, "sensor-fin", 16, now=NOW)
    by_key = {each.input.key: each.input for each in changes.switches}
    enquiry = Enquiry(shop=DEMO, part="sensor-fin", quantity=16)
    put = by_key["suppliers.weir.offers[1].price"].put(enquiry, Decimal(50))
    assert put.shop.suppliers["weir"].offers[0].price == 50
    assert put.shop.suppliers["weir"].offers[1:] == DEMO.suppliers["weir"].offers[1:]
    key = 'processes.cast-fin.operations["finish"].good_rate'
    put = by_key[key].put(enquiry, Decimal("0.5"))
    assert put.shop.process("cast-fin").operation("finish").good_rate == Decimal("0.5")
    as_before = {**put.shop.processes, "cast-fin": DEMO.process("cast-fin")}
    assert replace(put.shop, processes=as_before) == DEMO


def test_what_cannot_be_asked_is_refused():
    with pytest.raises(NotFound):
        what_changes(DEMO, "sensor-finn", 16, now=NOW)
    with pytest.raises(InvalidInput):
        what_changes(DEMO, "sensor-fin", 0, now=NOW)
