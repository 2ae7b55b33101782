"""Every sheet, wide and on a phone, by day and by night: sound, within the screen, in reach."""

from __future__ import annotations

import pytest
from sheets import SHOP

SHEETS = (
    "/?all=1",
    f"{SHOP}/access",
    f"{SHOP}/audit",
    f"{SHOP}/today",
    f"{SHOP}/enquiry",
    f"{SHOP}/enquiry?part=stabiliser&quantity=24&by=2027-03-19&bend=9&customer=A+club",
    f"{SHOP}/enquiry?part=sensor-fin&quantity=5",
    f"{SHOP}/enquiry?part=sensor-fin&quantity=16&changes=recommended",
    f"{SHOP}/quotes",
    f"{SHOP}/orders",
    f"{SHOP}/orders/1004",
    f"{SHOP}/orders/1001/moulds",
    f"{SHOP}/more",
    f"{SHOP}/try?made=sensor-fin/cast-fin&quantity=8&by=2027-03-19",
    f"{SHOP}/parts",
    f"{SHOP}/parts/camera-boom",
    f"{SHOP}/processes",
    f"{SHOP}/processes/pressed",
    f"{SHOP}/materials",
    f"{SHOP}/materials/fast-resin",
    f"{SHOP}/moulds",
    f"{SHOP}/moulds/stabiliser-pressed%201",
    f"{SHOP}/trace",
    f"{SHOP}/learnt",
    f"{SHOP}/buying",
    f"{SHOP}/buying?part=stabiliser/pressed&quantity=24",
    f"{SHOP}/tests",
    f"{SHOP}/hour",
    f"{SHOP}/mark",
    f"{SHOP}/tests?lot=24",
    f"{SHOP}/parts/stabiliser/weights/pressed?pulls=3&weighed_g=101",
    f"{SHOP}/edit/bench_tests/cast-1",
    f"{SHOP}/find?q=foil",
    f"{SHOP}/shop",
    f"{SHOP}/edit/shop",
    f"{SHOP}/edit/hours",
    f"{SHOP}/edit/people/ines",
    f"{SHOP}/edit/processes/pressed",
    f"{SHOP}/edit/parts/stabiliser",
    f"{SHOP}/edit/materials/laminating-epoxy",
    f"{SHOP}/edit/moulds/stabiliser-pressed",
    f"{SHOP}/edit/suppliers/estuary",
    f"{SHOP}/edit/parts/stabiliser/text",
    f"{SHOP}/add/sets",
    f"{SHOP}/add/people",
    f"{SHOP}/add/processes",
    f"{SHOP}/add/moulds",
    f"{SHOP}/add/stock",
    f"{SHOP}/add/rooms",
    f"{SHOP}/add/sessions",
    f"{SHOP}/file",
    f"{SHOP}/versions",
    f"{SHOP}/feeds",
    f"{SHOP}/board/changes",
    f"{SHOP}/tables",
    f"{SHOP}/log",
    f"{SHOP}/log/note",
    f"{SHOP}/log/note/stopped",
    f"{SHOP}/log/note/received",
    f"{SHOP}/tomorrow",
    f"{SHOP}/handover",
)


@pytest.mark.parametrize("path", SHEETS)
def test_a_sheet_is_sound_at_every_width_by_day_and_by_night(reader, path):
    answer = reader.open(path, width="phone", theme="dark")
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    reader.fits()
    reader.can_be_hit()
    reader.is_sound()
    reader.see(width="tablet")
    reader.fits()
    reader.see(width="wide")
    reader.fits()
    reader.is_sound()


@pytest.mark.parametrize("path", [f"{SHOP}/enquiry?part=stabiliser", f"{SHOP}/orders/1004"])
def test_on_paper_nothing_is_left_to_press(reader, path):
    reader.open(path)
    reader.page.emulate_media(media="print")
    assert reader.page.locator("nav").is_hidden()
    assert reader.page.get_by_role("button").count() == 0
    assert reader.page.locator("h1").is_visible()


def test_a_page_that_is_not_there_says_so_soundly(context, bench):
    page = context.new_page()
    answer = page.goto(f"{SHOP}/quotes/77")
    assert answer.status == 404
    assert page.locator("h1").inner_text() == "There is no such sheet"
    # With one shop that is the bench itself; the demo has two to choose from.
    page.get_by_role("link", name="To the bench").click()
    assert page.url == f"{bench.address}/"
    page.get_by_role("link", name="The foil bench", exact=True).click()
    assert page.url.startswith(f"{bench.address}{SHOP}")


def test_the_readers_choice_of_night_beats_the_devices_and_stays(reader):
    reader.open(f"{SHOP}/parts", theme="light")
    ground = "() => getComputedStyle(document.documentElement).backgroundColor"
    by_day = reader.page.evaluate(ground)
    with reader.page.expect_navigation():
        reader.page.get_by_role("button", name="Dark").click()
    assert reader.page.url.endswith(f"{SHOP}/parts")
    by_night = reader.page.evaluate(ground)
    assert by_night != by_day
    reader.open(f"{SHOP}/moulds", theme="light")
    assert reader.page.evaluate(ground) == by_night


def test_the_keyboard_reaches_the_sheet_past_its_head(reader):
    reader.open(f"{SHOP}/parts")
    reader.page.keyboard.press("Tab")
    assert reader.page.evaluate("() => document.activeElement.className") == "skip"
    reader.page.keyboard.press("Enter")
    reader.page.keyboard.press("Tab")
    reader.page.keyboard.press("Tab")
    assert reader.page.evaluate("() => !!document.activeElement.closest('main')")
