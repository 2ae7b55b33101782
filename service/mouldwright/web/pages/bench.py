"""What the bench works with, to be read: parts and processes."""

from __future__ import annotations

from collections.abc import Iterable

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.judgement import Judgement
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.record.mould_ledger import moulds_as_they_stand
from mouldwright.domain.shop import Shop
from mouldwright.domain.would_pass.find import WouldPass
from mouldwright.figures.marks import marks_for
from mouldwright.figures.process_strip import draw_strip
from mouldwright.figures.strip_of import strip_of
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.ledgers import ledgers
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.would_pass import what_would_pass
from mouldwright.web.charts import (
    CHART_NARROW_PX,
    bent_ways,
    both,
    part_figures,
    rods_figure,
)
from mouldwright.web.view_models.bench import family_view, step_rows
from mouldwright.web.view_models.part_ways import part_way
from mouldwright.web.view_models.shape import (
    part_facts,
    requirement_facts,
    shape_words,
    structure_facts,
)
from mouldwright.web.view_models.would_pass import change_rows
from mouldwright.web.visit import InShop, Visit

router = APIRouter(prefix="/shops/{shop}")
STRIP_PX = 1080.0
# Good parts, for which what a change costs is said.
CHANGES_FOR = 10


@router.get("/parts")
def show_parts(visit: InShop) -> HTMLResponse:
    """Show every part."""
    shop = _shop(visit)
    rows = [(part, shape_words(part.section)) for part in shop.parts.values()]
    return visit.show(
        "parts.html", title="Parts", shop_name=shop.name, place="parts", rows=rows, it=shop
    )


@router.get("/parts/{key}")
def show_part(visit: InShop, key: str) -> HTMLResponse:
    """Show a part: drawn to scale, what it must bear, how it is made."""
    shop = _shop(visit)
    if key not in shop.parts:
        raise Unknown(kind="part", key=key)
    part = shop.parts[key]
    made_by = [shop.processes[way] for way in part.made_by if way in shop.processes]
    ways = [part_way(shop, part, process, at=visit.shop) for process in made_by]
    marks = marks_for(shop.processes.values())
    judged = [(way.title, marks[way.key], way.judged) for way in ways if way.judged is not None]
    return visit.show(
        "part.html",
        title=part.title,
        shop_name=shop.name,
        place="parts",
        part=part,
        facts=part_facts(part),
        asked=requirement_facts(part),
        drawings=part_figures(shop, part, None, {}),
        made_by=made_by,
        ways=ways,
        bent=bent_ways(part, judged),
        rods={way.key: rods_figure(shop, part, way.key, marks[way.key]) for way in ways},
        marks=marks,
        families=[family_view(shop, family) for family in _moulds(visit) if family.part == key],
        changes=[
            (way.title, change_rows(shop.currency, found))
            for way in ways
            if way.judged is not None
            and (found := _changes(visit, shop, part, way.key, way.judged))
        ],
        currency=shop.currency.code,
        changes_for=CHANGES_FOR,
    )


@router.get("/processes")
def show_processes(visit: InShop) -> HTMLResponse:
    """Show every process."""
    shop = _shop(visit)
    makes = {
        key: [part.title for part in shop.parts.values() if key in part.made_by]
        for key in shop.processes
    }
    return visit.show(
        "processes.html",
        title="Processes",
        shop_name=shop.name,
        place="processes",
        it=shop,
        makes=makes,
        marks=marks_for(shop.processes.values()),
    )


@router.get("/processes/{key}")
def show_process(visit: InShop, key: str) -> HTMLResponse:
    """Show a process: its routing drawn as a strip, and every step."""
    shop = _shop(visit)
    if key not in shop.processes:
        raise Unknown(kind="process", key=key)
    process = shop.processes[key]
    marks = marks_for(shop.processes.values())
    families = [family for family in _moulds(visit) if family.process == key]
    strip = None
    if process.operations:
        picture = strip_of(shop, process, mark=marks[key], family=families[0] if families else None)
        strip = both(draw_strip, picture, "strip", wide_px=STRIP_PX, narrow_px=CHART_NARROW_PX)
    stations = {hold.resource: shop.stations.get(hold.resource) for hold in process.holds}
    return visit.show(
        "process.html",
        title=process.title,
        shop_name=shop.name,
        place="processes",
        process=process,
        strip=strip,
        steps=step_rows(shop, process),
        made_of=structure_facts(shop, process.structure),
        stations=stations,
        it=shop,
        parts=[part for part in shop.parts.values() if key in part.made_by],
        families=[family_view(shop, family) for family in families],
    )


def _changes(
    visit: Visit, shop: Shop, part: Part, way: str, judged: Judgement
) -> tuple[WouldPass, ...]:
    now = minute_of(visit.now)
    return what_would_pass(shop, part, shop.processes[way], CHANGES_FOR, now=now, judged=judged)


def _moulds(visit: Visit) -> Iterable[MouldFamily]:
    """Return the moulds as the log left them."""
    found = ledgers(visit.services, visit.shop)
    return moulds_as_they_stand(found.shop, at=found.now).values()


def _shop(visit: Visit) -> Shop:
    return open_kept(visit.services.units, visit.services.written, visit.shop).shop
