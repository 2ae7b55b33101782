"""A table as a file of either form."""

from __future__ import annotations

from typing import Literal, get_args

from mouldwright.documents import csv_file, xlsx_file
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.usecases.tables.sheet import SheetTable

TableForm = Literal["csv", "xlsx"]
MEDIA_TYPES = {"csv": csv_file.MEDIA_TYPE, "xlsx": xlsx_file.MEDIA_TYPE}


def table_file(table: SheetTable, form: TableForm) -> bytes:
    """Return a table as a file of a form."""
    return csv_file.csv_file(table) if form == "csv" else xlsx_file.xlsx_file(table)


def form_of(said: str, *, path: str) -> TableForm:
    """Return the form that is asked for. Raises InvalidInput where there is none such."""
    for form in get_args(TableForm):
        if said == form:
            return form  # type: ignore[no-any-return]  # one of the literal's own
    fault = Fault(
        path=path,
        value=said[:80],
        problem="a table is handed out as csv or xlsx.",
        remedy="End its name in .csv or .xlsx.",
    )
    raise InvalidInput([fault])
