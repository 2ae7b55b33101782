"""The shop's own sheet: its parts in the order they are written, and what is missing yet."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.consistency import faults_of
from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.usecases.editing import entry_at
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.examine import never_possible
from mouldwright.usecases.kept import Role
from mouldwright.usecases.shelf import KeptShop, open_kept, read_version, replace_kept
from mouldwright.web.edit_sections import SECTIONS
from mouldwright.web.edit_visit import LongForm, version_of
from mouldwright.web.form_values import whole_of
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.shop_sheet import steps_of
from mouldwright.web.view_models.versions import version_rows
from mouldwright.web.visit import InShop, Visit
from mouldwright.wire.model import title_from

router = APIRouter(prefix="/shops/{shop}")
_MOST_VERSIONS = 20
_A_MINUTE_S = 60


@router.get("/shop")
def show_shop(visit: InShop, gone: str = "", was: str = "", changed: int = 0) -> HTMLResponse:
    """Show what the shop is made of and what to write next."""
    kept = open_kept(visit.services.units, visit.services.written, visit.shop)
    shop = kept.shop
    undoes = changed == kept.version.version and changed > 1 and gone in SECTIONS
    return visit.show(
        "shop_sheet.html",
        title="Shop",
        shop_name=shop.name,
        place="shop",
        steps=steps_of(shop),
        limits=_limits(visit, shop),
        warnings=tuple(str(fault) for fault in faults_of(shop) if fault.is_warning),
        can_ask=any(part.made_by for part in shop.parts.values()),
        orders=len(shop.orders),
        may_write=visit.may(Role.PLANNER),
        may_own=visit.may(Role.OWNER),
        version=kept.version.version,
        undo=_undo(visit, gone, was, changed) if undoes else None,
        once=visit.services.chance(),
    )


def _undo(visit: Visit, section: str, key: str, version: int) -> dict[str, object]:
    """Return what takes back that an entry was taken out, and what it was called."""
    before = read_version(visit.services.units, visit.shop, version - 1)
    entry = entry_at(before.document, (section, key))
    title = (entry.get("title") if isinstance(entry, dict) else "") or title_from(key)
    return {"section": section, "key": key, "version": version, "title": title}


@router.get("/versions")
def show_versions(visit: InShop) -> HTMLResponse:
    """Show the latest versions, the one that holds first."""
    visit.must(Role.PLANNER)
    kept = open_kept(visit.services.units, visit.services.written, visit.shop)
    holds = kept.version.version
    with visit.services.units.read(visit.shop) as unit:
        kept_rows = [unit.shops.at(n) for n in range(holds, max(holds - _MOST_VERSIONS - 1, 0), -1)]
    return visit.show(
        "versions.html",
        title="Earlier versions",
        shop_name=kept.shop.name,
        place="shop",
        rows=version_rows(kept_rows, zone=kept.shop.zone)[:_MOST_VERSIONS],
        version=holds,
        may_own=visit.may(Role.OWNER),
        zone=kept.shop.zone,
    )


@router.post("/versions/put-back")
def put_back(visit: InShop, form: LongForm) -> Response:
    """Write an earlier version of the whole shop anew."""
    visit.must(Role.OWNER)
    number, services = whole_of(form, "which"), visit.services
    earlier: KeptShop = open_kept(services.units, services.written, visit.shop, version=number)
    holds = read_version(services.units, visit.shop)
    if holds.document == earlier.version.document:
        return visit.go(shop_path(visit.shop, "shop"), say="The shop stands so already.")
    replace_kept(
        services.units,
        services.written,
        visit.shop,
        earlier.shop,
        read=version_of(form),
        now=visit.now,
        by=visit.token.id,
    )
    return visit.go(shop_path(visit.shop, "shop"), say=f"Version {number} holds again.")


def _limits(visit: Visit, shop: Shop) -> tuple[str, ...]:
    try:
        return never_possible(shop, now=int(visit.now.timestamp()) // _A_MINUTE_S)
    except (InvalidInput, Unknown):
        return ()
