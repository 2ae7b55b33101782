"""From a blank database to a first quote in a browser, with nothing but the forms."""

from __future__ import annotations

import pytest
from bench_server import BenchServer
from sheets import SHOP, Reader


@pytest.fixture
def blank(chromium, tmp_path):
    """Someone signed in to a service that has no shop yet."""
    server = BenchServer(tmp_path, demo=False)
    server.start()
    context = chromium.new_context(base_url=server.address)
    someone = Reader(context.new_page(), server.address)
    someone.page.goto(server.link)
    someone.page.get_by_role("button", name="Sign in on this device").click()
    yield someone
    context.close()
    server.stop()


def keep(someone: Reader) -> None:
    page = someone.page
    page.locator(".keep-bar").get_by_role("button", name="Keep").click()
    page.wait_for_load_state()
    assert page.locator("[role=alert]").count() == 0, page.locator("[role=alert]").inner_text()
    page.get_by_role("link", name="Shop", exact=True).click()


def add(someone: Reader, what: str, **fields: str) -> None:
    someone.page.get_by_role("link", name=what, exact=True).click()
    fill(someone, fields)


def fill(someone: Reader, fields: dict[str, str]) -> None:
    for label, text in fields.items():
        found = someone.page.locator(f'[name="{label}"]')
        if found.evaluate("each => each.tagName") == "SELECT":
            found.select_option(text)
        else:
            found.fill(text)


def press(someone: Reader, does: str) -> None:
    """Press a button of the form, which shows the form anew."""
    with someone.page.expect_navigation():
        someone.page.locator(f'button[value="{does}"]').click()


def test_from_a_blank_database_to_a_quote_with_nothing_but_the_forms(blank):
    page = blank.page
    page.get_by_label("Name").fill("The reed bench")
    page.locator('form[action="/shops/written"]').get_by_label("Key").fill("reeds")
    page.get_by_role("button", name="Keep this shop").click()
    page.wait_for_url("**/shops/reeds/shop")
    blank.is_sound()

    page.get_by_role("link", name="Change prices and policies").click()
    fill(blank, {"price.rate": "35 %"})
    keep(blank)
    add(
        blank, "Add a person", **{"title": "Rui", "skills": "wet, finish", "wage_per_hour": "14.00"}
    )
    keep(blank)
    add(blank, "Add a material", **{"title": "Cast resin", "density_kg_m3": "1150"})
    fill(blank, {"modulus_gpa": "2,6", "cost_per_kg": "18.00"})
    keep(blank)

    add(blank, "Add a process", **{"title": "Cast"})
    fill(
        blank,
        {
            "operations.0.name": "pour",
            "operations.0.per": "pull",
            "operations.0.takes_min": "12",
            "operations.0.skill": "wet",
        },
    )
    press(blank, "add operations")
    fill(
        blank,
        {
            "operations.1.name": "cure",
            "operations.1.per": "pull",
            "operations.1.work": "alone",
            "operations.1.takes_min": "90",
        },
    )
    press(blank, "add operations")
    fill(
        blank,
        {
            "operations.2.name": "demould",
            "operations.2.per": "pull",
            "operations.2.takes_min": "5",
        },
    )
    press(blank, "add holds")
    fill(blank, {"holds.0.resource": "mould", "holds.0.from": "pour", "holds.0.to": "demould"})
    press(blank, "open structure")
    with page.expect_navigation():
        page.locator('[name="structure.kind"]').select_option("cast")
    fill(blank, {"structure.matrix": "cast-resin"})
    press(blank, "look")
    assert page.locator("figure").first.is_visible()
    blank.is_sound()
    keep(blank)

    add(blank, "Add a part", **{"title": "Tiller fin", "span_mm": "120"})
    fill(blank, {"section.code": "0015", "section.chord_mm": "60"})
    page.get_by_label("Cast", exact=True).check()
    keep(blank)
    assert "Still without a mould: Tiller fin by Cast." in page.locator("main").inner_text()

    page.get_by_role("link", name="tiller-fin-cast").click()
    fill(blank, {"count": "2", "cost": "40.00", "life_pulls": "30"})
    keep(blank)
    assert "Still without a mould" not in page.locator("main").inner_text()

    page.locator(".head").get_by_role("link", name="Ask an enquiry").click()
    page.wait_for_url("**/enquiry")
    page.get_by_role("textbox", name="Quantity").fill("12")
    page.wait_for_url("**quantity=12**")
    page.locator('form[action$="/quotes"] button').first.click()
    page.wait_for_url("**/quotes/1")
    assert "Tiller fin" in page.locator("main").inner_text()
    blank.had_no_trouble()


def test_a_fault_takes_the_keyboard_to_its_field_and_an_undo_puts_all_back(reader):
    page = reader.page
    reader.open(f"{SHOP}/edit/people/ines", width="phone")
    page.get_by_label("Wage").fill("lots")
    page.keyboard.press("Enter")
    page.locator("[role=alert]").wait_for()
    assert page.evaluate("() => document.activeElement.name") == "wage_per_hour"
    assert page.get_by_label("Wage").input_value() == "lots"
    reader.is_sound()
    page.keyboard.press("Control+a")
    page.keyboard.type("15.50")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Undo the change").click()
    page.wait_for_url(f"**{SHOP}/edit/people/ines")
    assert page.get_by_label("Wage").input_value() == "15.00"
    page.reload()
    assert page.get_by_label("Wage").input_value() == "15.00"
    # A field that cannot be right is answered with a status that a browser notes as a failure.
    reader.troubles = [each for each in reader.troubles if "422" not in each]


def test_a_row_that_is_added_is_where_one_types_next(reader):
    reader.open(f"{SHOP}/edit/processes/pressed")
    press(reader, "add operations")
    name = reader.page.evaluate("() => document.activeElement.name")
    assert name.startswith("operations.")
    assert name.endswith(".name")
    assert reader.page.locator("[role=status]").inner_text().startswith("Not kept yet.")
