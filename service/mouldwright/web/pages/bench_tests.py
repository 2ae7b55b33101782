"""Parts bent at the bench: what each test says, and what it lets be counted on."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.record.sample import SamplePlan, sample_plan
from mouldwright.usecases.bench_tests import bench_tests
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.charts import bent_figure
from mouldwright.web.view_models.bench_tests import tests_view
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}")
LARGEST_LOT = 10_000


@router.get("/tests")
def show_tests(visit: InShop, lot: str = "") -> HTMLResponse:
    """Show every bench test, by process."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    tested = bench_tests(shop)
    return visit.show(
        "bench_tests.html",
        title="Bench tests",
        shop_name=shop.name,
        place="tests",
        it=shop,
        lot=lot,
        plan=_plan(lot),
        processes=[
            (tests_view(shop, each), [bent_figure(found) for found in each.learnt.found])
            for each in tested
        ],
    )


def _plan(lot: str) -> SamplePlan | None:
    """Return how many of a lot to test; None where no lot was given."""
    if not (lot.isascii() and lot.isdigit() and 0 < int(lot[:6]) <= LARGEST_LOT):
        return None
    return sample_plan(lot=int(lot[:6]))
