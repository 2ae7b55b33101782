"""A shop's own mark: read, put in place of the one before, taken away."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Change, Known, Owner, Viewer, new_router, sent, tag_of
from mouldwright.usecases.shelf import open_kept, read_version
from mouldwright.usecases.shop_mark import keep_mark
from mouldwright.wire.service.mark import MarkAnswer, MarkWrite

router = new_router(f"{SHOP}/mark", "shops")


@router.get("", response_model=MarkAnswer, operation_id="read_mark")
def read_mark(
    seat: Viewer,
    known: Known,
    version: Annotated[
        int | None, Query(ge=1, le=2**31 - 1, description="an earlier version of the shop")
    ] = None,
) -> Response:
    """Return the mark that quotes made from now on have at their head; the ETag is the shop's."""
    kept = open_kept(seat.services.units, seat.services.written, seat.shop, version=version)
    answer = MarkAnswer(svg=kept.shop.mark or None, version=kept.version.version)
    return known.or_answer(tag_of(kept.version.mark), answer)


@router.put("", response_model=MarkAnswer, operation_id="put_mark")
def put_mark(seat: Owner, ask: MarkWrite, change: Change) -> Response:
    """Put a mark at the head of quotes made from now on; earlier ones keep theirs."""
    return _kept(seat, ask.mark(), change)


@router.delete("", status_code=204, response_class=Response, operation_id="take_mark_away")
def take_away(seat: Owner, change: Change) -> Response:
    """Take the mark away; quotes that have it keep it."""
    answer = _kept(seat, "", change)
    return Response(status_code=204, headers={"ETag": answer.headers["ETag"]})


def _kept(seat: Owner, mark: str, change: Change) -> Response:
    services = seat.services
    read = change.version(read_version(services.units, seat.shop).version)
    version = keep_mark(services, seat.shop, mark, read=read, now=seat.now, by=seat.token.id)
    answer = MarkAnswer(svg=mark or None, version=version.version)
    return sent(answer, tag=tag_of(version.mark))
