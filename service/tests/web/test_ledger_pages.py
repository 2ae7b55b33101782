"""The sheets of moulds, stock, parts and money: the log's account of them, for people."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest
from bench_log import done, entry, logged, members, work
from promise_bench import DEMO, KEY
from web_bench import plain

from mouldwright.domain.costing.actual import actual_cost
from mouldwright.domain.record.log import Happening
from mouldwright.domain.record.trace import Records
from mouldwright.scenario.demo import open_demo
from mouldwright.usecases.shelf import replace_kept
from mouldwright.web.view_models.spent import spent_view

HERE = f"/shops/{KEY}"
MOULD = "stabiliser-pressed 3"


def step(operation, *, mould=MOULD, **more):
    return work(operation, mould=mould, order="1001", part="stabiliser", **more)


@pytest.fixture
def noted(web):
    """A visitor to the demo shop with one pull in its log, and time gone by."""
    with web.services.units.write(KEY) as unit:
        unit.log.bring(
            logged(
                *done(9, step("mix", mould=None, pulls=[1])),
                *done(9.5, step("load", pulls=[1]), began=9.25, people=("ines",)),
                *done(33, step("cure", pulls=[1]), began=9.6),
                *done(34, step("demould", pulls=[1]), people=("tomas",)),
                entry(Happening.WEIGHED, 35, members=members("1001", parts=[1]), mass_g="110"),
                entry(Happening.SECOND, 36, members=members("1001", parts=[1]), cause="pinholes"),
            )
        )
        unit.commit()
    web.now = web.now.replace(day=4)
    return web.visitor()


def test_a_moulds_own_sheet_tells_its_pulls_defects_and_hands(noted):
    words = plain(noted.page(f"{HERE}/moulds/stabiliser-pressed%203"))
    assert "12 when counted, 1 by the log since" in words
    assert "Tomás 1" in words
    assert "Pull 1 of order 1001" in words
    assert "Second pinholes 1 part" in words
    assert f'href="{HERE}/trace/1001-1"' in noted.page(f"{HERE}/moulds/stabiliser-pressed%203")


def test_the_list_of_moulds_counts_what_was_logged(noted):
    page = noted.page(f"{HERE}/moulds")
    row = re.search(r'<tr id="stabiliser-pressed-3">(.*?)</tr>', page, re.S)[1]
    cells = [plain(cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row, re.S)]
    assert cells[1:4] == ["13", "47", "conditioning after 3 pulls"]


def test_a_materials_sheet_tells_its_lots_and_what_went_of_them(noted):
    page = noted.page(f"{HERE}/materials/epoxy-resin")
    words = plain(page)
    # 46.2 g of 460 for one pull: 60 g is the least that is mixed, at 100 : 30.
    assert "Left 413.8 g" in words
    assert "−46.2 g" in words
    assert "What is reserved is told once there is a plan." in words
    assert f"{HERE}/trace?material=epoxy-resin&amp;lot=1" in page
    assert "413.8 g" in plain(noted.page(f"{HERE}/materials"))


def test_a_serial_that_is_typed_or_scanned_opens_its_part(noted):
    answer = noted.get(f"{HERE}/trace", params={"serial": " 1001-1 "})
    assert answer.headers["location"] == f"{HERE}/trace/1001-1"
    assert noted.get(f"{HERE}/find", params={"q": "1001-1"}).headers["location"].endswith("1001-1")
    words = plain(noted.page(f"{HERE}/trace/1001-1"))
    for told in (
        "A trimaran club",
        MOULD,
        "Tomás",
        "110 g, too heavy",
        "Too few: 0 of the 6",
        "lot 1",
        "It does not say that a part is safe",
    ):
        assert told in words


def test_what_is_no_serial_is_said_beside_the_field(noted):
    for typed in ("1001", "1001-77"):
        answer = noted.get(f"{HERE}/trace", params={"serial": typed})
        assert answer.status_code == 422
        assert f'value="{typed}"' in answer.text
    assert noted.get(f"{HERE}/trace/1001-77").status_code == 404


def test_parts_are_listed_by_what_they_have_in_common(noted):
    for query in (
        "order=1001",
        "mould=stabiliser-pressed+3",
        "material=epoxy-resin&lot=1",
        "mix=1",
    ):
        assert "1001-1" in plain(noted.page(f"{HERE}/trace?{query}")), query
    assert "no such part" in plain(noted.page(f"{HERE}/trace?order=1002"))


def test_an_orders_sheet_tells_its_parts_and_where_the_money_went(noted):
    words = plain(noted.page(f"{HERE}/orders/1001"))
    assert "Where the money went" in words
    assert "Not all of it is made" in words
    # The demo's stabiliser states no price for one.
    assert "Seconds, in none of these figures: 1; not every part states a price" in words
    assert "1001-1" in words
    assert "1 timed" in words
    assert "Where the money went" not in plain(noted.page(f"{HERE}/orders/1002"))


def test_where_the_money_went_says_what_seconds_bring():
    # Three through every step; the third is a second, at 12.50.
    shop = open_demo("foil-bench").shop
    stabiliser = replace(shop.parts["stabiliser"], second_price=Decimal("12.50"))
    last = shop.processes["pressed"].operations[-1].name
    over = done(20, step(last, pulls=[1, 2, 3], parts=[1, 2, 3]))
    second = entry(Happening.SECOND, 40, members=members("1001", parts=[3]))
    parts = {**shop.parts, "stabiliser": stabiliser}
    shop = replace(shop, parts=parts, log=logged(*over, second))
    order = next(order for order in shop.orders if order.number == "1001")
    said = spent_view(shop, actual_cost(shop, order, Records(shop))).said
    assert "Seconds, in none of these figures: 1, which bring €12.50." in said
    assert "All of them sold, a good one costs €" in said


def test_without_a_log_the_sheets_say_what_to_do(web):
    visitor = web.visitor()
    assert "Tick off what is done" in plain(visitor.page(f"{HERE}/trace"))
    mould = plain(visitor.page(f"{HERE}/moulds/stabiliser-pressed%203"))
    assert "The log tells of nothing yet." in mould
    assert visitor.get(f"{HERE}/moulds/none").status_code == 404


def test_a_mould_whose_number_has_a_stroke_has_its_sheet_too(web):
    family = DEMO.moulds["stabiliser-pressed"]
    odd = replace(family, moulds=(replace(family.moulds[0], number="7/2"),))
    shop = replace(DEMO, moulds={**DEMO.moulds, family.key: odd})
    services = web.services
    replace_kept(services.units, services.written, KEY, shop, read=1, now=web.now, by="a test")
    visitor = web.visitor()
    link = re.search(rf'href="({HERE}/moulds/[^"]+)"', visitor.page(f"{HERE}/moulds"))[1]
    assert "number 7/2" in plain(visitor.page(link))
