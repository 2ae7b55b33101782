"""The shop's own sheet: what to write next, the whole as a file, earlier versions."""

from __future__ import annotations

import re
from dataclasses import replace

from promise_bench import DEMO, KEY
from web_bench import plain

from mouldwright.usecases.kept import Role
from mouldwright.usecases.session import FORM_KEY, form_key
from mouldwright.usecases.shelf import open_kept

SHOP = f"/shops/{KEY}"


def now(web, key=KEY):
    return open_kept(web.services.units, web.services.written, key)


def blank(web):
    keeper = web.keeper()
    few = {
        "name": "The reed bench",
        "key": "reeds",
        "currency": "EUR",
        "zone": "Europe/Lisbon",
        "day": "08:30-17:00",
    }
    assert keeper.post("/shops/written", few).status_code == 303
    return keeper


def test_a_blank_shop_opens_where_it_says_what_to_write_next(web):
    keeper = blank(web)
    assert keeper.get("/shops/reeds").headers["location"] == "/shops/reeds/shop"
    page = keeper.page("/shops/reeds/shop")
    words = plain(page)
    assert "Prices and policies Next" in words
    assert "People Still missing" in words
    assert "Sets may be left out" in words
    assert "Ask an enquiry" not in re.findall(r">([^<]+)</a>", page)


def test_a_shop_that_is_whole_shows_each_entry_and_leads_to_its_form(web):
    page = web.visitor().page(f"{SHOP}/shop")
    for section, keys in (("people", DEMO.people), ("parts", DEMO.parts), ("moulds", DEMO.moulds)):
        for key in keys:
            assert f'href="{SHOP}/edit/{section}/{key}"' in page
    assert "Still missing" not in plain(page)


def test_a_way_whose_moulds_are_not_there_yet_is_named(web):
    family = DEMO.moulds["stabiliser-pressed"]
    web.bench.change_shop(moulds={**DEMO.moulds, family.key: replace(family, moulds=())}, orders=())
    words = plain(web.visitor().page(f"{SHOP}/shop"))
    assert "Still without a mould: Stabiliser foil, 260 mm by Pressed chopped carbon." in words
    assert "Look again." in words


def test_a_planner_sees_no_way_to_wages_and_a_viewer_none_to_any_form(web):
    assert "/edit/people" not in web.visitor(Role.PLANNER).page(f"{SHOP}/shop")
    assert "/edit/parts" in web.visitor(Role.PLANNER).page(f"{SHOP}/shop")
    assert "/edit/" not in web.visitor(Role.VIEWER).page(f"{SHOP}/shop")


def send_file(visitor, text, version):
    return visitor.web.client.post(
        f"{SHOP}/file",
        data={FORM_KEY: form_key(visitor.secret), "version": str(version)},
        files={"file": ("a.toml", text)},
        headers=visitor._headers(),
    )


def test_the_file_that_is_taken_out_is_the_shop_and_comes_in_again_changed(web):
    visitor = web.visitor()
    text = visitor.get(f"{SHOP}/file.toml").text
    assert web.services.written.read_toml(text) == DEMO
    same = send_file(visitor, text, 1)
    assert same.status_code == 303
    assert now(web).version.version == 1
    other = send_file(visitor, text.replace("span_mm = 260", "span_mm = 262"), 1)
    assert other.status_code == 303
    assert now(web).shop.parts["stabiliser"].span_mm == 262


def test_every_fault_of_a_file_is_said_with_its_line_and_nothing_is_changed(web):
    visitor = web.visitor()
    text = visitor.get(f"{SHOP}/file.toml").text
    broken = text.replace("span_mm = 260", "span_mm = -1").replace('"EUR"', '"EURO"')
    line = broken[: broken.index("span_mm = -1")].count("\n") + 1
    answer = send_file(visitor, broken, 1)
    assert answer.status_code == 422
    words = plain(answer.text)
    assert f"scenario.toml:{line}: parts.stabiliser.span_mm = -1" in words
    assert "2 things cannot be right" in words
    assert now(web).version.version == 1


def test_a_file_over_a_shop_someone_changed_meanwhile_is_refused(web):
    visitor = web.visitor()
    text = visitor.get(f"{SHOP}/file.toml").text
    web.bench.change_shop(name="The other bench")
    answer = send_file(visitor, text.replace("span_mm = 260", "span_mm = 262"), 1)
    assert answer.status_code == 409
    assert now(web).shop.name == "The other bench"


def test_an_earlier_version_is_put_back_as_a_new_one(web):
    web.bench.change_shop(name="The other bench")
    visitor = web.visitor()
    assert "Put it back" in plain(visitor.page(f"{SHOP}/versions"))
    back = visitor.post(f"{SHOP}/versions/put-back", {"version": "2", "which": "1"})
    assert back.status_code == 303
    assert (now(web).version.version, now(web).shop) == (3, DEMO)
    # Sent again, as by a reload, it finds the shop so.
    assert (
        visitor.post(f"{SHOP}/versions/put-back", {"version": "2", "which": "1"}).status_code == 303
    )
    assert now(web).version.version == 3


def test_only_the_owner_brings_a_file_or_puts_a_version_back(web):
    planner = web.visitor(Role.PLANNER)
    text = planner.get(f"{SHOP}/file.toml").text
    assert send_file(planner, text, 1).status_code == 403
    assert (
        planner.post(f"{SHOP}/versions/put-back", {"version": "1", "which": "1"}).status_code == 403
    )
    assert web.visitor(Role.BENCH).get(f"{SHOP}/file.toml").status_code == 403


def test_an_earlier_version_says_when_by_the_benchs_clock_and_what_it_changed(web):
    # Two versions after the first: a part renamed, then a person taken out.
    part = replace(DEMO.part("stabiliser"), title="Long stabiliser")
    web.bench.change_shop(parts={**DEMO.parts, "stabiliser": part})
    orders = tuple(order for order in DEMO.orders if order.number != "1006")
    web.bench.change_shop(orders=orders)
    words = plain(web.visitor().page(f"/shops/{KEY}/versions"))
    assert "Long stabiliser" in words
    assert "Orders" in words
    assert "The first" in words
    assert "UTC" not in words
