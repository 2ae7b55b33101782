"""Papers for the bench handed to a browser, and where the codes on them lead."""

from __future__ import annotations

from urllib.parse import quote

from fastapi import APIRouter
from starlette.responses import Response

from mouldwright.documents.buy_paper import buy_pdf
from mouldwright.documents.day_paper import day_pdf
from mouldwright.documents.mould_labels import labels_pdf, moulds_of
from mouldwright.documents.setting import paper_of
from mouldwright.usecases import questions
from mouldwright.usecases.papers import asked_day, families_asked
from mouldwright.usecases.present import day_asked
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.places import shop_path
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}")


@router.get("/papers/day-sheet.pdf")
def day_on_paper(visit: InShop, day: str = "", person: str = "", paper: str = "a4") -> Response:
    """Hand out day sheets by the plan that holds."""
    asked = asked_day(visit.services, visit.shop, person=person or None, day=day_asked(day, "day"))
    return _file(day_pdf(asked, paper=paper_of(paper)), f"day-{asked.day.isoformat()}.pdf")


@router.get("/papers/mould-labels.pdf")
def labels_on_paper(visit: InShop, family: str = "", paper: str = "a4") -> Response:
    """Hand out a label for each mould."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    moulds = moulds_of(shop, families_asked(shop, [family] if family else []))
    address = visit.services.address(str(visit.request.base_url))
    made = labels_pdf(shop, visit.shop, moulds, address, paper=paper_of(paper))
    return _file(made, "mould-labels.pdf")


@router.get("/papers/buy-list.pdf")
def buying_on_paper(visit: InShop, paper: str = "a4") -> Response:
    """Hand out what to buy for the open orders."""
    found = questions.to_buy(visit.services, visit.shop, by=None, beside=None)
    return _file(buy_pdf(found, paper=paper_of(paper)), f"buy-{found.today.isoformat()}.pdf")


@router.get("/m/{family}/{number:path}")
def open_mould(visit: InShop, family: str, number: str) -> Response:
    """Lead from the code on a mould to its own sheet."""
    return visit.go(shop_path(visit.shop, f"moulds/{quote(f'{family} {number}')}"))


def _file(made: bytes, name: str) -> Response:
    named = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(made, media_type="application/pdf", headers=named)
