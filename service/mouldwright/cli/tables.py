"""The table command."""

from __future__ import annotations

from pathlib import Path

from mouldwright.cli.opening import clock, finish_by, open_shop
from mouldwright.cli.show import print_json
from mouldwright.cli.writing import write_out
from mouldwright.documents.csv_file import MARK
from mouldwright.documents.table_file import form_of, table_file
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.usecases.planned import plan
from mouldwright.usecases.present import day_asked, present
from mouldwright.usecases.tables.every import TABLES, TableAsk
from mouldwright.usecases.tables.read import written_table
from mouldwright.wire.answers.table import RowsAnswer

# Those that are made of a plan.
_PLANNED = {"plan", "day-sheet", "orders"}


def table(
    scenario: str,
    name: str,
    *,
    out: str | None,
    day: str | None,
    person: str | None,
    part: str | None,
    quantity: int,
    order: str | None,
    mould: str | None,
    now: str | None,
    seconds: float,
    seed: int,
    by_rate: bool,
    as_json: bool,
) -> None:
    """Write a table of a scenario to a file, or as CSV to standard output."""
    _check(name)
    form = "csv" if out is None else form_of(Path(out).suffix.removeprefix("."), path="--out")
    shop = open_shop(scenario)
    at = present(shop, now, clock)
    wants_plan = name in _PLANNED and bool(shop.orders)
    planned = plan(shop, now=at, seconds=seconds, seed=seed) if wants_plan else None
    ask = TableAsk(
        day=day_asked(day, "--day"),
        person=person,
        part=part,
        quantity=quantity,
        order=order,
        mould=mould,
    )
    found = written_table(shop, planned, name, ask, now=at, finish=finish_by(by_rate=by_rate))
    if as_json:
        print_json(RowsAnswer.of(found.name, found.columns, found.rows))
    if out is not None or not as_json:
        made = table_file(found, form)
        # The mark is for spreadsheets that open a file; what reads a pipe would take it for data.
        write_out(made.removeprefix(MARK.encode()) if out is None else made, out)


def _check(name: str) -> None:
    if name not in TABLES:
        raise InvalidInput(
            [
                Fault(
                    path="NAME",
                    value=name,
                    problem="there is no such table.",
                    remedy=f"Write one of {', '.join(TABLES)}.",
                )
            ]
        )
