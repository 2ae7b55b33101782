"""What is agreed on a quote, typed into its sheet and shown there and to its customer."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

from promise_bench import KEY, NOW
from web_bench import plain

from mouldwright.domain.material import Stock
from mouldwright.web.view_models.quote import quote_view
from mouldwright.wire.answers.offer import InversionAnswer
from mouldwright.wire.answers.quote import QuoteAnswer

HERE = f"/shops/{KEY}/quotes"


def revise(visitor, **typed: str):
    page = visitor.page(f"{HERE}/1")
    form = re.search(r'<form action="[^"]*/revise" method="post">(.*?)</form>', page, re.S)[1]
    fields = dict(re.findall(r'name="([^"]+)"[^>]* value="([^"]*)"', form)) | {"quantity": "12"}
    for name in ("rush", "pay_for_begun"):
        fields.pop(name, None)
    return visitor.post(f"{HERE}/1/revise", fields | typed)


def test_what_is_agreed_is_typed_on_the_enquiry_that_the_quote_is_made_from(web):
    visitor = web.visitor()
    page = visitor.page(f"/shops/{KEY}/enquiry?part=stabiliser&quantity=12")
    form = re.search(r'<form[^>]* action="[^"]*/quotes" method="post">(.*?)</form>', page, re.S)[1]
    assert "Discount, deliveries, rush" in form
    fields = dict(re.findall(r'name="([^"]+)"[^>]* value="([^"]*)"', form))
    for name in ("rush", "spares"):
        fields.pop(name, None)
    typed = {"discount": "7.5", "deliveries": "5 by 2027-04-05\n7"}
    assert visitor.post(HERE, fields | typed).status_code == 303
    terms = web.bench.revision(1).inputs.terms
    assert terms.discount_rate == Decimal("0.075")
    assert [each.quantity for each in terms.deliveries] == [5, 7]


def test_what_is_agreed_stays_on_the_enquiry_whatever_else_is_changed(web):
    agreed = "discount=7.5&deliveries=5+by+2027-04-05%0A7&rush=yes&customer_class=club"
    asked = f"/shops/{KEY}/enquiry?part=stabiliser&quantity=30&{agreed}"
    page = web.visitor().page(asked)
    forms = re.findall(r'<form[^>]* action="[^"]*/quotes" method="post">(.*?)</form>', page, re.S)
    assert len(forms) > 1
    for form in forms:
        assert re.search(r'name="discount"[^>]* value="7.5"', form)
        assert "5 by 2027-04-05\n7" in form
        assert re.search(r'name="rush"[^>]* (checked|value="yes")', form)
    assert "<details open>" in forms[0]
    assert '<option value="club" selected>' in forms[0]
    # The link that plans the days keeps it too.
    assert re.search(r'discount=7.5[^"]*dates=planned"', page)


def test_a_discount_and_deliveries_are_typed_and_shown_as_lines(web):
    # Without a stock to look at, haste waits for no delivery.
    web.bench.change_shop(stock=Stock())
    web.bench.quoted()
    visitor = web.visitor()
    answer = revise(
        visitor,
        customer_class="club",
        discount_amount="3.50",
        deliveries="5 by 2027-03-05 rush\n7",
        address="2 Quay Lane\n\n Reedmouth ",
    )
    assert answer.status_code == 303
    kept = web.bench.revision(1)
    assert kept.address == ("2 Quay Lane", "Reedmouth")
    assert [each.quantity for each in kept.inputs.terms.deliveries] == [5, 7]
    page = visitor.page(f"{HERE}/1")
    words = plain(page)
    for said in (
        "Discount for club, 5 % of the goods",
        "5 × Stabiliser foil, 260 mm, delivery 1",
        # The stand-in is ready on Monday 8 March, three days late: a quarter by the demo's tiers.
        "Rush, 25 % of what is hurried, delivery 1",
        "1, rush, 3 days sooner, 25 %",
        "Agreed: was nothing more, is club; 3.50 off; 5 by Fri 5 Mar 2027, rush; 7.",
        "2 Quay Lane",
    ):
        assert said in words
    # The form shows again what was typed.
    assert "5 by 2027-03-05 rush\n7</textarea>" in page
    assert '<option value="club" selected>' in page


def test_a_discount_in_per_cent_is_taken_as_it_is_typed(web):
    web.bench.quoted()
    revise(web.visitor(), discount="5")
    assert web.bench.revision(1).inputs.terms.discount_rate == Decimal("0.05")


def test_what_cannot_be_agreed_is_refused_and_nothing_is_kept(web):
    web.bench.quoted()
    answer = revise(web.visitor(), deliveries="5\n5")
    assert answer.status_code == 422
    assert "the deliveries come to 10 and the order is for 12" in plain(answer.text)
    assert web.bench.revision(1).revision == 1


def test_prices_with_their_tax_are_shown_with_it(web):
    policy = web.bench.draft().shop.price
    web.bench.change_shop(price=replace(policy, tax_included=True))
    kept = web.bench.quoted()
    answer = QuoteAnswer.model_validate_json(kept.document)
    assert answer.tax_included
    assert sum(Decimal(line.amount) for line in answer.lines) == kept.figures.gross
    words = plain(web.visitor().page(f"{HERE}/1"))
    assert f"12 for €{kept.figures.gross:,}" in words
    assert "Tax included." in words
    assert "Tax, 23 %, in it" in words


def test_a_price_list_with_an_inversion_says_so_beside_it(web):
    kept = web.bench.quoted()
    document = QuoteAnswer.model_validate_json(kept.document)
    inverted = {"quantity": 24, "amount": "480.00", "instead": 25, "instead_amount": "462.50"}
    told = document.model_copy(update={"inversions": [InversionAnswer(**inverted)]})
    view = quote_view(
        web.bench.draft().shop,
        replace(kept, document=told.model_dump_json()),
        (kept,),
        today=NOW.date(),
        mark_path="",
    )
    assert "24 cost more in all than 25, which come to €462.50." in view.breaks_notes
