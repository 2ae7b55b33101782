"""A customer's page of one quote: made by the bench, read, printed and accepted by the customer."""

from __future__ import annotations

import re

from sheets import SHOP, Reader


def test_a_customer_reads_prints_and_accepts_a_quote_by_its_link(reader, chromium, bench):
    page = reader.page
    reader.open(f"{SHOP}/enquiry?part=stabiliser&quantity=24&by=2027-03-19&customer=A+club")
    with page.expect_navigation():
        page.get_by_role("button", name="Quote", exact=False).first.click()
    page.get_by_role("button", name="It went to the customer").click()
    page.locator("#links summary").click()
    page.get_by_role("button", name="Make a link").click()
    reader.is_sound()
    reader.fits()
    link = page.get_by_label("Copy it now", exact=False).input_value()
    assert link.startswith(f"{bench.address}/q/")

    elsewhere = chromium.new_context(base_url=bench.address)
    try:
        customer = Reader(elsewhere.new_page(), bench.address)
        answer = customer.open(link, width="phone", theme="dark")
        assert answer.headers["referrer-policy"] == "no-referrer"
        for width, theme in (("phone", "dark"), ("tablet", "light"), ("wide", "light")):
            customer.see(width=width, theme=theme)
            customer.fits()
            customer.can_be_hit()
            customer.is_sound()
        assert customer.page.locator("nav").count() == 0
        customer.page.emulate_media(media="print")
        printed = customer.page.pdf(format="A4")
        assert len(re.findall(rb"/Type\s*/Page\b", printed)) == 1
        customer.page.emulate_media(media="screen")
        # Without the tick nothing is ordered.
        customer.page.get_by_role("button", name="Accept and order").click()
        assert "Tick that you have read" in customer.page.locator("main").inner_text()
        customer.page.get_by_label("I have read the cautions", exact=False).check()
        customer.page.get_by_role("button", name="Accept and order").click()
        assert "accepted and booked as order" in customer.page.locator("main").inner_text()
        assert customer.page.url == link
        customer.is_sound()
        wrong = customer.page.goto("/q/never-was")
        assert wrong.status == 404
        customer.is_sound()
        # The browser itself notes answers that refuse: the missing tick and the wrong link.
        customer.troubles = [said for said in customer.troubles if "status of 4" not in said]
        customer.had_no_trouble()
    finally:
        elsewhere.close()

    # Whoever is signed in can open and answer such a page too; it hides where it comes from.
    page.goto(link)
    assert "accepted and booked as order" in page.locator("main").inner_text()
