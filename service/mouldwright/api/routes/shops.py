"""Shops: added from a scenario, read, replaced, and handed out as scenarios again."""

from __future__ import annotations

import json
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from mouldwright.api.deps import (
    SHOP,
    Anyone,
    Change,
    Keeper,
    Known,
    Once,
    Owner,
    Viewer,
    new_router,
    replied,
    reply,
    sent,
    tag_of,
)
from mouldwright.api.faults import in_body
from mouldwright.api.kinds import problems
from mouldwright.domain.shop import Shop
from mouldwright.usecases import shelf
from mouldwright.usecases.access import digest
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.kept import Reply, ShopVersion
from mouldwright.usecases.once import once
from mouldwright.usecases.ports import HouseWriting, Written
from mouldwright.wire.service.shop import ShopAdd, ShopAnswer, ShopList, ShopSummary, ShopWrite

TOML = "application/toml"

router = new_router("", "shops")


def _summary(version: ShopVersion) -> ShopSummary:
    return ShopSummary(
        key=version.key,
        title=version.title,
        version=version.version,
        written_at=version.written_at,
    )


def _shop_of(written: Written, ask: ShopAdd | ShopWrite) -> Shop:
    if ask.scenario_toml is not None:
        with in_body("scenario_toml", as_text=True):
            return written.read_toml(ask.scenario_toml)
    with in_body("scenario"):
        return written.read(json.dumps(ask.scenario))


@router.get("/v1/shops", response_model=ShopList, operation_id="list_shops")
def list_shops(seat: Anyone) -> Response:
    """List the shops that the token opens: one, or for a keeper all of them."""
    found = shelf.list_shops(seat.services.units, only=seat.token.shop)
    return sent(ShopList(shops=[_summary(version) for version in found]))


@router.post(
    "/v1/shops",
    status_code=201,
    response_model=ShopSummary,
    operation_id="add_shop",
    responses=problems(409),
)
def add_shop(seat: Keeper, ask: ShopAdd, asked: Once) -> Response:
    """Keep a new shop, written as a scenario."""
    services = seat.services
    shelf.check_key(ask.key)
    shop = _shop_of(services.written, ask)
    first = shelf.first_version(
        ask.key, shop, services.written.document(shop), now=seat.now, by=seat.token.id
    )

    def work(unit: HouseWriting) -> Reply:
        shelf.add(unit, first, shop.log)
        headers = {"Location": f"/v1/shops/{first.key}", "ETag": tag_of(first.version)}
        return reply(_summary(first), headers=headers)

    return replied(once(services.units.write_house(), asked, work, now=seat.now))


@router.get(SHOP, response_model=ShopAnswer, operation_id="read_shop")
def read_shop(
    seat: Viewer,
    known: Known,
    version: Annotated[
        int | None, Query(ge=1, le=2**31 - 1, description="an earlier version")
    ] = None,
) -> Response:
    """Return a shop with all that is written about it."""
    found = shelf.read_version(seat.services.units, seat.shop, version)
    # The document is JSON as it stands: read and written anew it would only lose time.
    head = _summary(found).model_dump_json()
    return known.or_answer(tag_of(found.mark), f'{head[:-1]},"scenario":{found.document}}}')


@router.put(SHOP, response_model=ShopSummary, operation_id="replace_shop", responses=problems(409))
def replace_shop(seat: Owner, ask: ShopWrite, change: Change) -> Response:
    """Write a shop anew over the version that was read."""
    services = seat.services
    holds = shelf.read_version(services.units, seat.shop)
    # One who read it before a customer was erased would bring the name back.
    change.require(tag_of(holds.mark))
    shop = _shop_of(services.written, ask)
    version = shelf.replace_kept(
        services.units,
        services.written,
        seat.shop,
        shop,
        read=holds.version,
        erasures=holds.erasures,
        now=seat.now,
        by=seat.token.id,
    )
    return sent(_summary(version), tag=tag_of(version.mark))


_Booked = Annotated[
    bool,
    Query(description="with the open orders that came from quotes, to be planned elsewhere"),
]


def _tag_of_text(text: str) -> str:
    """Return the ETag of what names customers: one who is erased is no version of its own."""
    return tag_of(digest(text)[:32])


@router.get(
    f"{SHOP}/scenario.json",
    operation_id="export_json",
    response_class=Response,
    responses={200: {"content": {"application/json": {"schema": {"type": "object"}}}}},
)
def export_json(seat: Viewer, known: Known, booked: _Booked = False) -> Response:
    """Hand a shop out as a scenario in JSON, every key written, its log too."""
    if booked:
        whole = read_booked(seat.services.units, seat.shop, seat.services.written)
        text = seat.services.written.whole_document(whole.without())
        return known.or_answer(_tag_of_text(text), text)
    kept = shelf.open_whole(seat.services.units, seat.services.written, seat.shop)
    tag = tag_of(shelf.log_mark(kept))
    if not kept.shop.log:  # the document is JSON as it stands
        return known.or_answer(tag, kept.version.document)
    return known.or_answer(tag, seat.services.written.whole_document(kept.shop))


@router.get(
    f"{SHOP}/scenario.toml",
    operation_id="export_toml",
    response_class=Response,
    responses={200: {"content": {TOML: {"schema": {"type": "string"}}}}},
)
def export_toml(seat: Viewer, known: Known, booked: _Booked = False) -> Response:
    """Hand a shop out as a scenario file, its log too; what is as by default is left out."""
    services = seat.services
    if booked:
        whole = read_booked(services.units, seat.shop, services.written)
        text = services.written.toml(whole.without())
        tag = _tag_of_text(text)
    else:
        kept = shelf.open_whole(services.units, services.written, seat.shop)
        text, tag = services.written.toml(kept.shop), tag_of(shelf.log_mark(kept))
    file = f'attachment; filename="{seat.shop}.toml"'
    return known.or_answer(
        tag,
        text,
        media_type=TOML,
        headers={"Content-Disposition": file},
    )
