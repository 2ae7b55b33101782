"""A bench test typed in: its line is drawn as its readings come, and nothing is kept by that."""

from __future__ import annotations

import re

from sheets import SHOP

AT = f"{SHOP}/edit/bench_tests/cast-1"
DRAWN = '[data-slot="drawn"]'
STIFFER = "0.2 1.10\n0.4 2.20\n0.6 3.325\n0.8 4.40"


def share(page) -> float:
    """Return the share of the computed stiffness that the drawing says."""
    said = page.locator(DRAWN).inner_text()
    return float(re.search(r"has ([0-9.]+) of the computed stiffness", said)[1])


def test_the_line_follows_the_readings_as_they_are_typed(reader):
    reader.open(AT)
    page = reader.page
    before = share(page)
    page.locator('[name="readings"]').fill(STIFFER)
    page.wait_for_function(
        "was => !document.querySelector('[data-slot=\"drawn\"]').innerText.includes(was)",
        arg=f"has {before:.3f} of",
    )
    # Half of the bend under each load is twice the stiffness.
    assert abs(share(page) / before - 2) < 0.02
    assert page.url.endswith(AT)


def test_readings_that_make_no_line_leave_the_last_drawing_and_nothing_is_kept(reader):
    reader.open(AT)
    page = reader.page
    before = share(page)
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        page.locator('[name="readings"]').fill("0.2 x")
    assert share(page) == before
    reader.open(AT)
    assert share(page) == before
    assert "2.2" in page.locator('[name="readings"]').input_value()
