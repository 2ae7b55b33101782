"""Choosing a shop, and a first one."""

from __future__ import annotations

import pytest
from promise_bench import DEMO, KEY
from web_bench import plain

from mouldwright.usecases.kept import Role
from mouldwright.usecases.shelf import open_kept

FEW = {
    "name": "The reed bench",
    "key": "reeds",
    "currency": "EUR",
    "zone": "Europe/Lisbon",
    "day": "08:30-17:00",
}


def test_whoever_has_one_shop_goes_straight_to_it_and_a_keeper_of_two_chooses(web):
    assert web.visitor().get("/").headers["location"] == f"/shops/{KEY}"
    keeper = web.keeper()
    assert keeper.get("/").headers["location"] == f"/shops/{KEY}"
    assert keeper.post("/shops/written", FEW).headers["location"] == "/shops/reeds"
    words = plain(keeper.page("/"))
    assert "The foil bench" in words
    assert "The reed bench" in words


def test_a_shop_of_a_few_lines_is_kept_as_it_was_written(web):
    web.keeper().post("/shops/written", FEW)
    shop = open_kept(web.services.units, web.services.written, "reeds").shop
    assert (shop.name, shop.currency.code, shop.zone) == ("The reed bench", "EUR", "Europe/Lisbon")
    assert shop.hours.weekly == (((510, 1020),),) * 5 + ((), ())


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("name", "", "a shop needs a name"),
        ("key", "Reeds & Co", "a shop's key is 1 to 63 small letters"),
        ("currency", "EURO", "three capital letters"),
        ("zone", "Europe/Nowhere", "that is no time zone"),
        ("day", "17:00-08:30", "those are no opening hours"),
    ],
)
def test_a_fault_is_said_and_what_was_written_stays_in_the_form(web, field, value, said):
    answer = web.keeper().post("/shops/written", FEW | {field: value})
    assert answer.status_code == 422
    assert said in plain(answer.text)
    assert 'value="EUR' in answer.text


def test_all_faults_are_said_at_once(web):
    answer = web.keeper().post("/shops/written", FEW | {"name": "", "currency": "x", "day": "?"})
    assert "3 things cannot be right" in plain(answer.text)


def test_a_key_that_is_taken_is_said(web):
    answer = web.keeper().post("/shops/written", FEW | {"key": KEY})
    assert answer.status_code == 409
    assert "there is a shop of that key already" in plain(answer.text)


def test_the_demo_is_loaded_once_and_found_again(web):
    keeper = web.keeper()
    for _ in range(2):
        answer = keeper.post("/shops/demo", {"demo": "foil-bench"})
        assert answer.headers["location"] == "/shops/foil-bench"
    kept = open_kept(web.services.units, web.services.written, "foil-bench")
    assert kept.version.version == 1
    assert kept.shop == DEMO


def test_the_demo_is_loaded_with_a_month_of_its_log_too(web):
    keeper = web.keeper()
    assert "Load it with a month of its log" in plain(keeper.get("/?all=1").text)
    answer = keeper.post("/shops/demo", {"demo": "noted-month"})
    assert answer.headers["location"] == "/shops/noted-month"
    with web.services.units.read("noted-month") as unit:
        assert unit.log.all()
    assert "Load it with a month of its log" not in plain(keeper.get("/?all=1").text)
    assert keeper.post("/shops/demo", {"demo": "another"}).status_code == 422


def test_a_file_is_kept_or_every_fault_in_it_is_said(web):
    keeper = web.keeper()
    text = web.services.written.toml(DEMO)
    sent = keeper.post("/shops/file", {"file_key": "brought"}, files={"file": ("a.toml", text)})
    assert sent.headers["location"] == "/shops/brought"
    broken = text.replace('currency = "EUR"', 'currency = "EURO"').replace(
        "span_mm = 260", "span_mm = -1"
    )
    wrong = keeper.post("/shops/file", {"file_key": "broken"}, files={"file": ("a.toml", broken)})
    assert wrong.status_code == 422
    words = plain(wrong.text)
    assert "shop.currency" in words
    assert "span_mm" in words


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "there is nothing in it"),
        (b"\xff\xfe", "not text in UTF-8"),
        (b"x" * 1_500_001, "too long"),
    ],
)
def test_what_is_no_file_of_text_is_refused(web, raw, said):
    answer = web.keeper().post("/shops/file", {"file_key": "b"}, files={"file": ("a", raw)})
    assert answer.status_code == 422
    assert said in plain(answer.text)


def test_only_a_keeper_adds_shops(web):
    for path in ("/shops/demo", "/shops/written", "/shops/file"):
        assert web.visitor(Role.OWNER).post(path, FEW).status_code == 403
