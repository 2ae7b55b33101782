"""Parts, processes, materials, moulds and bench tests of a shop, one by one, all one way."""

import json
from typing import Annotated, Any

from fastapi import APIRouter, Body, Path
from pydantic import BaseModel
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Change, Known, Planner, Viewer, new_router, sent, tag_of
from mouldwright.api.faults import in_body
from mouldwright.usecases.entries import (
    SINGULAR,
    Entries,
    Section,
    list_entries,
    read_entry,
    write_entry,
)
from mouldwright.wire.service import shop as wire

EntryKey = Annotated[
    str,
    Path(
        description="its key: letters, digits, hyphens and underscores",
        max_length=100,
        pattern=r"^\w[\w-]*$",
    ),
]


def _entry(singular: str, key: str, value: Any) -> str:
    return json.dumps({"key": key, singular: value}, ensure_ascii=False)


def _listed(section: Section, entries: Entries) -> str:
    singular = SINGULAR[section]
    each = (_entry(singular, key, value) for key, value in entries.by_key.items())
    return f'{{"{section}": [{", ".join(each)}]}}'


def router_of(section: Section, many: type[BaseModel], one: type[BaseModel]) -> APIRouter:
    """Return the routes of a section.

    Args:
        section: Where its entries stand in a scenario.
        many: The answer that lists them.
        one: The answer with one of them.
    """
    singular = SINGULAR[section]
    router = new_router(f"{SHOP}/{section}", section)
    described = one.model_fields[singular].annotation

    @router.get("", response_model=many, operation_id=f"list_{section}", summary=f"List {section}")
    def list_all(seat: Viewer, known: Known) -> Response:
        """List them in the order they were written; the ETag is the shop's."""
        entries = list_entries(seat.services.units, seat.shop, section)
        return known.or_answer(tag_of(entries.mark), _listed(section, entries))

    @router.get(
        "/{key}", response_model=one, operation_id=f"read_{singular}", summary=f"Read a {singular}"
    )
    def read_one(seat: Viewer, key: EntryKey, known: Known) -> Response:
        """Return one as it is written; the ETag is the shop's."""
        mark, value = read_entry(seat.services.units, seat.shop, section, key)
        return known.or_answer(tag_of(mark), _entry(singular, key, value))

    @router.put(
        "/{key}",
        response_model=one,
        operation_id=f"write_{singular}",
        summary=f"Write a {singular}",
        responses={201: {"model": one, "description": "It was not there before"}},
    )
    def write_one(
        seat: Planner,
        key: EntryKey,
        value: Annotated[
            dict[str, Any], Body(json_schema_extra=_schema_of(described), description="as written")
        ],
        change: Change,
    ) -> Response:
        """Put one in or write it anew; the whole shop is examined again."""
        services = seat.services
        with in_body(below=(section, key)):
            version, is_new = write_entry(
                services.units,
                services.written,
                seat.shop,
                section,
                key,
                json.dumps(value),
                read=change.version,
                now=seat.now,
                by=seat.token.id,
            )
        kept = json.loads(version.document)[section][key]
        return sent(
            _entry(singular, key, kept), status=201 if is_new else 200, tag=tag_of(version.mark)
        )

    @router.delete(
        "/{key}",
        status_code=204,
        response_class=Response,
        operation_id=f"remove_{singular}",
        summary=f"Remove a {singular}",
    )
    def remove_one(seat: Planner, key: EntryKey, change: Change) -> Response:
        """Take one out. What still names it is told, and then nothing is changed."""
        services = seat.services
        version, _ = write_entry(
            services.units,
            services.written,
            seat.shop,
            section,
            key,
            None,
            read=change.version,
            now=seat.now,
            by=seat.token.id,
        )
        return Response(status_code=204, headers={"ETag": tag_of(version.mark)})

    return router


def _schema_of(model: Any) -> dict[str, Any]:
    # The description puts the model itself in its place. What reads it is the scenario's own
    # reader, which finds every fault and says it in the words of the format.
    return {"x-model": model.__name__}


ROUTERS = (
    router_of("parts", wire.PartList, wire.PartEntry),
    router_of("processes", wire.ProcessList, wire.ProcessEntry),
    router_of("materials", wire.MaterialList, wire.MaterialEntry),
    router_of("moulds", wire.MouldList, wire.MouldEntry),
    router_of("bench_tests", wire.BenchTestList, wire.BenchTestEntry),
)
