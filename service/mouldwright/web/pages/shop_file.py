"""The whole shop as a file: brought over what is there, or taken out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fastapi import APIRouter
from starlette.responses import Response

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.kept import Role
from mouldwright.usecases.shelf import open_kept, open_whole, replace_kept
from mouldwright.web.edit_visit import LongForm, version_of
from mouldwright.web.pages.shops import text_of_file
from mouldwright.web.places import shop_path
from mouldwright.web.visit import InShop, Visit

router = APIRouter(prefix="/shops/{shop}")


@router.get("/file")
def show_file(visit: InShop) -> Response:
    """Show how to bring a file and where to take one out."""
    visit.must(Role.PLANNER)
    return _show(visit)


@router.get("/file.toml")
def take_out(visit: InShop, booked: str = "") -> Response:
    """Give the whole shop as a scenario, with the orders that came from quotes where asked."""
    visit.must(Role.PLANNER)
    services = visit.services
    if booked:
        shop = read_booked(services.units, visit.shop, services.written).without()
    else:
        shop = open_whole(services.units, services.written, visit.shop).shop
    return Response(
        services.written.toml(shop),
        media_type="application/toml; charset=utf-8",
        headers={"content-disposition": f'attachment; filename="{visit.shop}.toml"'},
    )


@router.post("/file")
def bring(visit: InShop, form: LongForm) -> Response:
    """Write the shop anew from a file, or say every fault in it with its line."""
    visit.must(Role.OWNER)
    services = visit.services
    try:
        shop = services.written.read_toml(text_of_file(form))
    except InvalidInput as wrong:
        return _show(visit, faults=wrong.faults, status=422)
    kept = open_whole(services.units, services.written, visit.shop)
    if shop in (kept.shop, replace(kept.shop, log=())):
        return visit.go(shop_path(visit.shop, "shop"), say="The shop stands so already.")
    version = replace_kept(
        services.units,
        services.written,
        visit.shop,
        shop,
        read=version_of(form),
        now=visit.now,
        by=visit.token.id,
    )
    said = f"The file is kept as version {version.version}; the one before can be put back."
    return visit.go(shop_path(visit.shop, "shop"), say=said)


def _show(visit: Visit, *, faults: Sequence[Fault] = (), status: int = 200) -> Response:
    kept = open_kept(visit.services.units, visit.services.written, visit.shop)
    return visit.show(
        "shop_file.html",
        title="The shop as a file",
        shop_name=kept.shop.name,
        place="shop",
        status=status,
        faults=faults,
        version=kept.version.version,
        may_own=visit.may(Role.OWNER),
    )
