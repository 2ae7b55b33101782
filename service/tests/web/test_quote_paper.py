"""Quotes on paper from pages: the bench's own and the customer's link."""

from __future__ import annotations

from promise_bench import KEY

from mouldwright.usecases.kept import Role

HERE = f"/shops/{KEY}/quotes"


def test_a_quote_is_saved_as_a_file_named_by_its_number(web) -> None:
    web.bench.quoted()
    answer = web.visitor(Role.VIEWER).get(f"{HERE}/1/pdf?language=de&paper=us-letter")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == 'attachment; filename="quote-1-1.pdf"'
    assert answer.content.startswith(b"%PDF-")


def test_the_page_offers_it_in_each_language(web) -> None:
    web.bench.quoted()
    page = web.visitor(Role.VIEWER).page(f"{HERE}/1")
    assert f'action="{HERE}/1/pdf"' in page
    for language in ("en", "de", "fr"):
        assert f'<option value="{language}"' in page


def test_a_language_that_is_not_there_is_said(web) -> None:
    web.bench.quoted()
    answer = web.visitor(Role.VIEWER).get(f"{HERE}/1/pdf?language=xx")
    assert answer.status_code == 422
    assert "Write one of en, de, fr." in answer.text


def test_a_quote_that_is_not_there_has_no_file(web) -> None:
    assert web.visitor(Role.VIEWER).get(f"{HERE}/9/pdf").status_code == 404
