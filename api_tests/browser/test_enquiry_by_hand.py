"""An enquiry by hand: answered as one types, with and without scripts, and quoted at a press."""

from __future__ import annotations

import re

from playwright.sync_api import expect
from sheets import SHOP, Reader

ASKED = f"{SHOP}/enquiry?part=stabiliser&quantity=24"


def test_the_answer_follows_what_is_typed_and_the_caret_stays(reader):
    reader.open(ASKED)
    page = reader.page
    page.locator("#quantity").fill("")
    page.locator("#quantity").press_sequentially("36")
    expect(page.locator("[data-slot=head] h1")).to_have_text(re.compile("36 pieces"))
    expect(page.locator("[data-slot=ways] h2")).to_have_text("3 ways to make 36")
    assert page.evaluate("() => document.activeElement.id") == "quantity"
    assert "quantity=36" in page.url
    # Each of its dates is a plan.
    time = page.locator("[data-slot=time] .fig-wide")
    expect(time).to_contain_text("asked 36", timeout=300_000)
    expect(page.locator("#asked-said")).to_have_text(re.compile("36 pieces"))


def test_what_was_opened_stays_open_while_one_types(reader):
    reader.open(ASKED)
    page = reader.page
    origin = page.locator("[data-slot=ways] details").filter(has_text="figures come from").first
    origin.locator("summary").first.click()
    page.locator("#quantity").fill("30")
    expect(page.locator("[data-slot=ways] h2")).to_have_text("3 ways to make 30")
    assert origin.evaluate("(each) => each.open")


def test_what_is_agreed_stays_while_the_quantity_changes_and_goes_into_the_quote(reader):
    reader.open(ASKED)
    page = reader.page
    page.get_by_text("Discount, deliveries, rush").click()
    page.locator("#discount").fill("7.5")
    page.locator("#deliveries").fill("10 by 2027-05-03\n20")
    # A slip leaves no answer to quote for a while.
    page.locator("#quantity").fill("none")
    expect(page.locator("[data-slot=answer]")).to_contain_text("Write a whole number")
    page.locator("#quantity").fill("30")
    expect(page.locator("[data-slot=ways] h2")).to_have_text("3 ways to make 30")
    expect(page.locator("#discount")).to_have_value("7.5")
    expect(page.locator("#deliveries")).to_have_value("10 by 2027-05-03\n20")
    assert "discount=7.5" in page.url
    # By another way than the one advised: it takes them along.
    page.locator("[data-slot=ways] .quote-it button").first.click()
    expect(page.locator("h1")).to_have_text(re.compile(r"Quote \d+"))
    amount = page.get_by_role("region", name="Amount")
    expect(amount).to_contain_text("Discount, 7.5 %")
    expect(amount).to_contain_text("delivery 2")


def test_a_slip_is_marked_at_its_field_and_mends_itself(reader):
    reader.open(ASKED)
    page = reader.page
    page.locator("#quantity").fill("none")
    expect(page.locator("#quantity")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("[data-slot=answer]")).to_contain_text("Write a whole number")
    page.locator("#quantity").fill("12")
    expect(page.locator("#quantity")).to_have_attribute("aria-invalid", "false")
    expect(page.locator("[data-slot=head] h1")).to_have_text(re.compile("12 pieces"))


def test_another_part_brings_its_own_load_into_the_empty_fields(reader):
    reader.open(ASKED)
    page = reader.page
    assert page.locator("#force").get_attribute("placeholder") == "14.0"
    page.locator("#part").select_option("camera-boom")
    assert page.locator("#force").get_attribute("placeholder") == "3.0"
    expect(page.locator("[data-slot=head] h1")).to_have_text(re.compile("Camera boom"))


def test_without_scripts_the_button_gives_the_same_answer(chromium, bench, signed_in, reader):
    context = chromium.new_context(
        base_url=bench.address, storage_state=signed_in, java_script_enabled=False
    )
    plain = Reader(context.new_page(), bench.address)
    plain.page.goto(ASKED)
    plain.page.locator("#quantity").fill("36")
    plain.page.get_by_role("button", name="Work it out").click()
    reader.open(ASKED.replace("24", "36"))
    table = ".compare tbody"
    assert plain.page.locator(table).inner_text() == reader.page.locator(table).inner_text()
    plain.had_no_trouble()
    context.close()


def test_from_the_enquiry_to_the_order_by_pressing(reader):
    reader.open(f"{ASKED}&customer=Tern+survey+club")
    page = reader.page
    price = page.locator(".main-act").inner_text()
    page.locator(".main-act").click()
    expect(page.locator("h1")).to_have_text(re.compile(r"Quote \d+"))
    each = re.search(r"€([\d.,]+)", price)[1]
    expect(page.get_by_role("region", name="Amount")).to_contain_text(each)
    for width, theme in (("phone", "dark"), ("wide", "light")):
        reader.see(width=width, theme=theme)
        reader.fits()
        reader.is_sound()
    page.get_by_role("button", name="It went to the customer").click()
    expect(page.locator(".said")).to_contain_text("with the customer")
    page.get_by_role("button", name="Accepted: book 24").click()
    expect(page.locator("h1")).to_have_text(re.compile(r"Order Q\d+"))
    expect(page.locator(".said")).to_contain_text("Booked.")
    for width, theme in (("phone", "dark"), ("wide", "light")):
        reader.see(width=width, theme=theme)
        reader.fits()
        reader.can_be_hit()
        reader.is_sound()


def test_a_figure_is_saved_with_its_style_in_it(reader):
    reader.open(ASKED)
    with reader.page.expect_download() as saved:
        reader.page.locator("[data-slot=cost] a", has_text="SVG").click()
    text = saved.value.path().read_text(encoding="utf-8")
    assert text.startswith("<?xml")
    assert "<style>" in text
    assert saved.value.suggested_filename == "stabiliser-cost.svg"
