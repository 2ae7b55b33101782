"""Who changed what, in a shop and in what belongs to none."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Keeper, Owner, Page, Paging, Seat, new_router, sent
from mouldwright.api.kinds import problems
from mouldwright.documents.csv_file import MEDIA_TYPE, csv_file
from mouldwright.usecases.audit import HOUSE, AuditQuery, shops_audit
from mouldwright.usecases.promise_lists import cursor_number
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.tables.of_audit import audit_table
from mouldwright.usecases.tables.read import MOST_ROWS
from mouldwright.wire.service.audit import AuditEntryAnswer, AuditList

router = new_router("", "audit")

Thing = Annotated[
    str | None, Query(max_length=64, description="only such things", examples=["order"])
]
Key = Annotated[str | None, Query(max_length=400, description="only the one of that key")]
By = Annotated[str | None, Query(max_length=100, description="only by the token of this id")]


def _listed(seat: Seat, shop: str, page: Page, **wanted: str | None) -> Response:
    query = AuditQuery(limit=page.limit, before=cursor_number(page.cursor), **wanted)
    entries, more = shops_audit(seat.services.units, shop, query)
    return sent(
        AuditList(
            entries=[AuditEntryAnswer.of(entry) for entry in entries],
            next=str(entries[-1].number) if more else None,
        )
    )


@router.get(f"{SHOP}/audit", response_model=AuditList, operation_id="list_audit")
def list_audit(
    seat: Owner, page: Paging, thing: Thing = None, key: Key = None, token: By = None
) -> Response:
    """List who changed what in the shop, the newest first.

    Every change has an entry, kept with it or not at all. No customer's name, note or secret
    stands in one.
    """
    return _listed(seat, seat.shop, page, thing=thing, key=key, token=token)


@router.get(
    f"{SHOP}/audit.csv",
    operation_id="read_audit_csv",
    response_class=Response,
    responses={
        200: {"content": {"text/csv": {"schema": {"type": "string", "format": "binary"}}}},
        **problems(404),
    },
)
def read_audit_csv(seat: Owner) -> Response:
    """Return who changed what as CSV, the newest first; a row for each value that changed."""
    shop = open_kept(seat.services.units, seat.services.written, seat.shop).shop
    entries, _ = shops_audit(seat.services.units, seat.shop, AuditQuery(limit=MOST_ROWS))
    table = audit_table(entries, zone=shop.zone, currency=shop.currency.code)
    return sent(
        csv_file(table),
        media_type=MEDIA_TYPE,
        headers={"Content-Disposition": 'attachment; filename="audit.csv"'},
    )


@router.get("/v1/audit", response_model=AuditList, operation_id="list_house_audit")
def list_house_audit(
    seat: Keeper, page: Paging, thing: Thing = None, key: Key = None, token: By = None
) -> Response:
    """List who changed what of that which belongs to no one shop: who may come in for all."""
    return _listed(seat, HOUSE, page, thing=thing, key=key, token=token)
