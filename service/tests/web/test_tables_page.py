"""Take it with you: a page of every table, each a link away from where it is shown."""

from __future__ import annotations

import re

import pytest
from promise_bench import KEY

from mouldwright.usecases.tables.every import TABLES

HERE = f"/shops/{KEY}/tables"


def test_every_link_of_the_page_hands_out_a_file(web):
    visitor = web.visitor()
    links = re.findall(rf'href="({HERE}/[^"]+)"', visitor.page(HERE))
    # Each table, as CSV and as a workbook, but the comparison, which is of one part.
    assert len(links) == 2 * (len(TABLES) - 1)
    for link in links:
        answer = visitor.get(link)
        assert answer.status_code == 200, link
        assert answer.headers["content-disposition"].startswith("attachment")


def test_a_comparison_is_asked_for_by_part_and_quantity(web):
    answer = web.visitor().get(f"{HERE}/comparison.csv?part=stabiliser&quantity=4")
    assert answer.status_code == 200
    assert answer.text.splitlines()[0].endswith("people_h")


@pytest.mark.parametrize("sheet", ["orders", "quotes", "materials", "moulds", "buying", "parts"])
def test_a_sheet_with_a_table_leads_to_its_file(web, sheet):
    visitor = web.visitor()
    links = re.findall(rf'href="({HERE}/[^"]+\.xlsx)"', visitor.page(f"/shops/{KEY}/{sheet}"))
    assert len(links) == 1
    assert visitor.get(links[0]).status_code == 200


@pytest.mark.parametrize("path", ["stock.ods", "day-sheet.csv?day=tomorrow"])
def test_what_there_is_not_is_refused(web, path):
    assert web.visitor().get(f"{HERE}/{path}").status_code == 422
