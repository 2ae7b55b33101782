"""Parts bent at the bench: what each test says, and what it lets be counted on."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.record.sample import SamplePlan, operating_curve
from mouldwright.domain.record.tolerance import CONFIDENCE
from mouldwright.usecases.bench_tests import bench_tests
from mouldwright.usecases.questions import sample
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.charts import bent_figure
from mouldwright.web.view_models.bench_tests import tests_view
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}")
LARGEST_LOT = 10_000


@router.get("/tests")
def show_tests(visit: InShop, lot: str = "", good: str = "", bad: str = "") -> HTMLResponse:
    """Show every bench test, by process."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    tested = bench_tests(shop)
    plan, near = _plan(lot, good, bad or "10")
    return visit.show(
        "bench_tests.html",
        title="Bench tests",
        shop_name=shop.name,
        place="tests",
        it=shop,
        lot=lot,
        good=good,
        bad=bad or "10",
        plan=plan,
        curve=operating_curve(plan, points=10) if plan else (),
        near=near,
        processes=[
            (tests_view(shop, each), [bent_figure(found) for found in each.learnt.found])
            for each in tested
        ],
    )


def _plan(lot: str, good: str, bad: str) -> tuple[SamplePlan | None, str]:
    """Return how many of a lot to test, None where no lot was given, and why none can be said."""
    if not (lot.isascii() and lot.isdigit() and 0 < int(lot[:6]) <= LARGEST_LOT):
        return None, ""
    shares = [_percent(text) for text in (good, bad)]
    if shares[1] is None or not 0 < shares[1] < 1 or (good.strip() and shares[0] is None):
        return None, "Write shares in per cent: 1 and 10."
    try:
        return (
            sample(
                lot=int(lot[:6]),
                bad_share=shares[1],
                confidence=CONFIDENCE,
                may_fail=0,
                good_share=shares[0],
            ),
            "",
        )
    except InvalidInput as error:
        return None, f"{error.faults[0].problem[:1].upper()}{error.faults[0].problem[1:]}"


def _percent(text: str) -> float | None:
    """Return a share that was typed in per cent; None where nothing was, or no number."""
    typed = text.strip().removesuffix("%").strip().replace(",", ".")
    try:
        return float(typed) / 100 if typed else None
    except ValueError:
        return None
