"""Spares: whole packs at so many times the price of one, and what a pack costs by itself."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from promise_bench import DEMO, NOW

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.order import PartSet, SetPart
from mouldwright.domain.terms import Delivery, Terms
from mouldwright.usecases.enquiry import finish_by_rate
from mouldwright.usecases.quoting import quote

PAIR = PartSet(
    key="rig",
    title="A boom and a fin",
    parts=(
        SetPart(part="camera-boom", process="printed"),
        SetPart(part="sensor-fin", process="cast-fin"),
    ),
)
SHOP = replace(DEMO, sets={"rig": PAIR})


def quoted(key, process, quantity, terms=None):
    return quote(
        SHOP,
        key,
        process,
        quantity,
        now=minute_of(NOW),
        finish=finish_by_rate,
        terms=terms or Terms(spares=True),
    )


def test_spares_are_sold_in_packs_and_cost_what_as_many_pieces_do():
    packs = quoted("camera-boom", "printed", 12)
    singly = quoted("camera-boom", "printed", 12, Terms())
    (line,) = packs.lines
    assert (line.kind, line.unit, line.quantity) == ("spares", "pack of 4", 3)
    assert line.rate == 4 * singly.price.price_each
    assert packs.price.net == singly.price.net


@pytest.mark.parametrize(
    ("key", "process", "quantity", "terms", "remedy"),
    [
        ("camera-boom", "printed", 10, Terms(spares=True), "Ask for 8 or 12."),
        ("camera-boom", "printed", 3, Terms(spares=True), "Ask for 4."),
        (
            "camera-boom",
            "printed",
            8,
            Terms(spares=True, deliveries=(Delivery(quantity=5), Delivery(quantity=3))),
            "Ask for 4 or 8.",
        ),
        (
            "stabiliser",
            "cast",
            4,
            Terms(spares=True),
            "Write parts.stabiliser.spare_pack, or ask for it singly.",
        ),
        ("rig", None, 4, Terms(spares=True), "Ask for a part of it."),
    ],
)
def test_broken_packs_and_what_is_no_spare_are_refused(key, process, quantity, terms, remedy):
    with pytest.raises(InvalidInput) as raised:
        quoted(key, process, quantity, terms)
    (fault,) = raised.value.faults
    assert (fault.path, fault.remedy) == ("terms.spares", remedy)


def test_a_quote_says_what_a_pack_costs_by_itself():
    (spare,) = quoted("camera-boom", "printed", 12).spares
    alone = quoted("camera-boom", "printed", 4, Terms())
    assert (spare.pack, spare.price_each) == (4, alone.price.price_each)
    assert spare.goods == 4 * spare.price_each


def test_a_set_says_it_of_each_of_its_parts_that_is_sold_as_a_spare():
    spares = quoted("rig", None, 5, Terms()).spares
    assert [spare.part for spare in spares] == ["camera-boom"]
    assert spares[0].goods > Decimal(0)
