"""The log of the bench: noted, read, and taken back by a further entry."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial
from typing import Annotated

from fastapi import Path, Query
from starlette.responses import Response

from mouldwright.api.deps import (
    SHOP,
    Bench,
    Once,
    Paging,
    Seat,
    Viewer,
    new_router,
    replied,
    reply,
    sent,
)
from mouldwright.api.kinds import problems
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.usecases import bench_log
from mouldwright.usecases.bench_log import Shown
from mouldwright.usecases.kept import Reply
from mouldwright.usecases.present import local_instant
from mouldwright.usecases.promise_lists import cursor_number
from mouldwright.wire.log import What
from mouldwright.wire.service.log import LogEntryAnswer, LogList, NoteAsk, TakeBackAsk

Number = Annotated[int, Path(ge=1, le=2**31 - 1, description="number of an entry", examples=[12])]
Name = Annotated[str | None, Query(max_length=200)]

router = new_router(SHOP, "log")


def _answer(shown: Shown, zone: str) -> LogEntryAnswer:
    return LogEntryAnswer.of(shown.entry, zone, taken_back_by=shown.taken_back_by)


def _made(seat: Seat, entries: Sequence[LogEntry], zone: str) -> Reply:
    where = f"{SHOP.format(shop=seat.shop)}/log/{entries[0].number}"
    return reply(LogEntryAnswer.of(entries[0], zone), headers={"Location": where})


@router.get("/log", response_model=LogList, operation_id="list_log")
def list_all(
    seat: Viewer,
    page: Paging,
    day: Annotated[date | None, Query(description="only what happened on a local day")] = None,
    what: What | None = None,
    order: Name = None,
    mould: Name = None,
    person: Name = None,
    material: Name = None,
) -> Response:
    """List what happened, the entry noted last first; those taken back too, marked so."""
    zone = bench_log.zone_of(seat.services, seat.shop)
    query = bench_log.query_of(
        zone=zone,
        limit=page.limit,
        before=cursor_number(page.cursor),
        day=day,
        what=None if what is None else Happening(what),
        order=order,
        mould=mould,
        person=person,
        material=material,
    )
    shown, more = bench_log.list_log(seat.services.units, seat.shop, query)
    return sent(
        LogList(
            entries=[_answer(each, zone) for each in shown],
            next=str(shown[-1].entry.number) if more else None,
        )
    )


@router.post(
    "/log",
    status_code=201,
    response_model=LogEntryAnswer,
    operation_id="note",
    responses=problems(404, 409, 422),
)
def note(seat: Bench, ask: NoteAsk, asked: Once) -> Response:
    """Note what happened.

    An entry with the ``said_once`` of one that is kept is answered with that one. Refused where
    it cannot be true beside what was noted before, such as a second start.
    """

    def tell(bench: bench_log.Bench) -> list[LogEntry]:
        instant = partial(local_instant, zone=bench.shop.zone)
        return [ask.entry(instant, now=seat.now, by=seat.token.label)]

    kept = bench_log.note(seat.services, seat.shop, tell, asked=asked, present=partial(_made, seat))
    return replied(kept)


@router.get("/log/{number}", response_model=LogEntryAnswer, operation_id="read_log_entry")
def read(seat: Viewer, number: Number) -> Response:
    """Return one entry."""
    shown = bench_log.read_entry(seat.services.units, seat.shop, number)
    return sent(_answer(shown, bench_log.zone_of(seat.services, seat.shop)))


@router.post(
    "/log/{number}/take-back",
    status_code=201,
    response_model=LogEntryAnswer,
    operation_id="take_back",
    responses=problems(404, 409),
)
def take_back(seat: Bench, number: Number, ask: TakeBackAsk, asked: Once) -> Response:
    """Take an entry back by a further one, which is returned; take that one back to undo it."""
    kept = bench_log.take_back(
        seat.services,
        seat.shop,
        (number,),
        by=seat.token.label,
        why=ask.note,
        asked=asked,
        present=partial(_made, seat),
    )
    return replied(kept)
