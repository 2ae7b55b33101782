"""Quotes on paper from pages: the bench's own and the customer's link."""

from __future__ import annotations

import re
from fractions import Fraction

from printed_reckoning import to_unit, work
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


def test_the_bench_can_work_the_page_out_again(web) -> None:
    web.bench.quoted()
    page = re.sub(r"&#?\w+;", " ", web.visitor(Role.VIEWER).page(f"{HERE}/1"))

    def cells(row: str) -> list[str]:
        found = re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)
        return [re.sub(r"<[^>]+>", "", cell).replace(",", "").strip() for cell in found]

    cost = re.search(r'<table class="cost">.*?</table>', page, re.DOTALL)[0]
    lines = [cells(row) for row in re.findall(r'<tr class="line">.*?</tr>', cost, re.DOTALL)]
    assert len(lines) > 10
    for _, takes, rate, amount, _ in lines:
        worked = Fraction(takes.split()[0]) * Fraction(rate)
        assert abs(worked - Fraction(amount)) <= Fraction("0.0005")
    total = Fraction(re.search(r"In all</th><td[^>]*>([\d,.]+)<", cost)[1].replace(",", ""))
    assert abs(sum(Fraction(row[3]) for row in lines) - total) <= Fraction("0.002")

    told = page.split("From the cost to what is paid")[1].split("</table>")[0]
    sums = [cells(row) for row in re.findall(r"<tr>.*?</tr>", told, re.DOTALL)][1:]
    assert {"Price each", "Net", "Tax", "To pay"} <= {row[0] for row in sums}
    for what, how, amount in sums:
        assert f"{to_unit(work(how), 2)}" == amount.replace("\u2212", "-"), what
