"""The tables of one shop, as files."""

from __future__ import annotations

from datetime import date

from mouldwright.client.call import Call, segment
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.service.table import TableAnswer, TableList


class Tables(Verbs[C]):
    """Lists the tables there are and fetches them.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where they are."""
        super().__init__(connection, f"{shop_path}/tables")

    @Verb
    def list(self) -> Steps[tuple[TableAnswer, ...]]:
        """Return the tables there are, and what their columns say."""
        call = Call(method="GET", path=self._path)
        return tuple((yield from self._connection.value(call, TableList)).tables)

    @Verb
    def file(
        self,
        name: str,
        form: str = "csv",
        *,
        day: date | None = None,
        person: str | None = None,
        part: str | None = None,
        quantity: int | None = None,
        order: str | None = None,
        mould: str | None = None,
    ) -> Steps[bytes]:
        """Return a table as a file.

        Args:
            name: Of the table.
            form: "csv" or "xlsx".
            day: Of the day sheet; None for today.
            person: Of the day sheet; None for everyone.
            part: Of the comparison.
            quantity: Of the comparison.
            order: Of the parts traced and of the log; None for every order.
            mould: Of the parts traced and of the log; None for every mould.
        """
        path = f"{self._path}/{segment(name)}.{segment(form)}"
        query = {
            "day": None if day is None else day.isoformat(),
            "person": person,
            "part": part,
            "quantity": quantity,
            "order": order,
            "mould": mould,
        }
        return self._connection.content(Call(method="GET", path=path, query=query))
