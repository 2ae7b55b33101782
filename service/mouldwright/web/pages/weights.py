"""Weights at the bench: the charge of so many pulls, and a finished part on the scale."""

from __future__ import annotations

import math

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.record.charge_sheet import charge_sheet, weighed
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.view_models.weights import weighed_words, weighing_rows
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}")
MOST_PULLS = 1000


@router.get("/parts/{key}/weights/{way}")
def show_weights(
    visit: InShop, key: str, way: str, pulls: str = "1", weighed_g: str = ""
) -> HTMLResponse:
    """Show what to weigh for so many pulls, and what a part that was weighed says."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    if key not in shop.parts or way not in shop.processes:
        raise Unknown(kind="part", key=f"{key} by {way}")
    part, process = shop.parts[key], shop.processes[way]
    many = int(pulls) if pulls.isascii() and pulls.isdigit() and len(pulls) < 6 else 1
    sheet = charge_sheet(shop, part, process, min(max(many, 1), MOST_PULLS))
    grams = _grams(weighed_g)
    return visit.show(
        "weights.html",
        title=f"Weights: {part.title}",
        shop_name=shop.name,
        place="parts",
        part=part,
        process=process,
        sheet=sheet,
        rows=weighing_rows(shop, sheet),
        typed=weighed_g,
        not_read=bool(weighed_g) and grams is None,
        said="" if grams is None else weighed_words(weighed(sheet, grams)),
    )


def _grams(text: str) -> float | None:
    try:
        grams = float(text.replace(",", "."))
    except ValueError:
        return None
    return grams if math.isfinite(grams) and 0 < grams < 1e7 else None
