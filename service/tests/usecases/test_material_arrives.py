"""A quote that waits for what has to be bought, in a shop that plans from its stock."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from promise_bench import DEMO

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.material import Stock
from mouldwright.usecases.enquiry import compare, finish_by_rate
from mouldwright.usecases.quoting import quote

NOW = minute_of(DEMO.start)
BARE = replace(DEMO, materials_planned="from stock", stock=Stock(), orders=())


def _ready(shop, quantity=2):
    return finish_by_rate(shop, "camera-boom", "printed", quantity, NOW).finish


def test_a_date_by_rate_begins_the_day_its_material_is_there() -> None:
    # The polymer comes from Longshore in one day, from Weir in three: the soonest is taken.
    today = local(NOW, BARE.zone).date()
    there = today + timedelta(days=1)
    assert _ready(replace(BARE, materials_planned="assumed")) < _ready(BARE)
    later = minute_of(local(NOW, BARE.zone).replace(day=there.day, hour=0, minute=0))
    assert (
        _ready(BARE)
        == finish_by_rate(
            replace(BARE, materials_planned="assumed"), "camera-boom", "printed", 2, later
        ).finish
    )


def test_a_quote_and_a_comparison_say_what_arrives_and_when() -> None:
    there = local(NOW, BARE.zone).date() + timedelta(days=1)
    priced = quote(BARE, "camera-boom", "printed", 2, now=NOW, finish=finish_by_rate)
    (said,) = [note for note in priced.notes if note.startswith("Material arrives")]
    day = f"{there:%a} {there.day} {there:%b %Y}"
    assert said.startswith(f"Material arrives {day}, bought now from Longshore: ")
    assert said.endswith(" g of Print polymer.")
    found = compare(BARE, "camera-boom", 2, now=NOW, finish=finish_by_rate, swept=1)
    choice = next(c for c in found.choices if c.process == "printed")
    assert said in choice.judgement.warnings


def test_what_is_on_the_shelf_is_waited_for_by_nobody() -> None:
    full = replace(BARE, stock=DEMO.stock)
    assert _ready(full, 1) == _ready(replace(full, materials_planned="assumed"), 1)
    priced = quote(full, "camera-boom", "printed", 1, now=NOW, finish=finish_by_rate)
    assert not [note for note in priced.notes if "arrives" in note]


def test_what_nobody_sells_has_a_price_and_no_date() -> None:
    nobody = replace(
        BARE,
        suppliers={
            key: replace(
                each, offers=tuple(o for o in each.offers if "print-polymer" not in o.materials)
            )
            for key, each in BARE.suppliers.items()
        },
    )
    with pytest.raises(HardLimit, match="nothing brings it"):
        _ready(nobody)
