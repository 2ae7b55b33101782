"""Papers handed to a browser, and where the code on a mould leads."""

from __future__ import annotations

import re

import pytest
from promise_bench import KEY

HERE = f"/shops/{KEY}"


@pytest.mark.parametrize(
    ("sheet", "paper"), [("moulds", "mould-labels.pdf"), ("buying", "buy-list.pdf")]
)
def test_a_sheet_hands_out_its_paper(web, sheet, paper):
    visitor = web.visitor()
    (link,) = re.findall(rf'href="({HERE}/papers/{paper})"', visitor.page(f"{HERE}/{sheet}"))
    answer = visitor.get(link)
    assert answer.status_code == 200
    assert answer.content.startswith(b"%PDF-")


def test_the_code_on_a_mould_leads_to_its_own_sheet(web):
    visitor = web.visitor()
    answer = visitor.get(f"{HERE}/m/stabiliser-pressed/3")
    assert answer.status_code == 303
    assert "Mould stabiliser-pressed 3" in visitor.page(answer.headers["location"])


def test_whoever_is_not_signed_in_is_asked_to_first(web):
    answer = web.client.get(f"{HERE}/m/stabiliser-pressed/3")
    assert answer.status_code in (303, 401)
    assert "moulds/" not in answer.headers.get("location", "")
