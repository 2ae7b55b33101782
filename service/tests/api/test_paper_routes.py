"""Papers for the bench over HTTP."""

from __future__ import annotations

import pytest
from service_bench import SHOP, once, problem_of
from working import worked

PAPERS = f"/v1/shops/{SHOP}/papers"


def is_pdf(answer) -> bool:
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    return answer.content.startswith(b"%PDF-") and "attachment" in str(answer.headers)


def test_labels_and_what_to_buy_need_no_plan_and_a_day_sheet_does(served):
    viewer, planner = served.client("viewer"), served.client("planner")
    assert is_pdf(viewer.get(f"{PAPERS}/mould-labels.pdf"))
    assert is_pdf(viewer.get(f"{PAPERS}/mould-labels.pdf?family=stabiliser-pressed"))
    assert is_pdf(viewer.get(f"{PAPERS}/buy-list.pdf?paper=us-letter"))
    problem_of(viewer.get(f"{PAPERS}/day-sheet.pdf"), 404, "unknown")
    planner.post(f"/v1/shops/{SHOP}/runs", json={"seconds": 0.1}, headers=once())
    worked(served)
    assert is_pdf(viewer.get(f"{PAPERS}/day-sheet.pdf?day=2027-03-02&person=ines"))


@pytest.mark.parametrize(
    "path",
    [
        "mould-labels.pdf?family=no-such",
        "mould-labels.pdf?paper=a9",
        "buy-list.pdf?by=2001-01-01",
        "day-sheet.pdf?day=tomorrow",
    ],
)
def test_what_there_is_not_is_refused(served, path):
    problem_of(served.client("viewer").get(f"{PAPERS}/{path}"), 422, "invalid")
