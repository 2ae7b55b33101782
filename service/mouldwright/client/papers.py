"""Papers for the bench of one shop."""

from __future__ import annotations

from datetime import date

from mouldwright.client.connection import Call, Connection


class Papers:
    """Fetches what is set on paper for the bench, as PDF.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: Connection, shop_path: str) -> None:
        """Keep where they are."""
        self._connection, self._path = connection, f"{shop_path}/papers"

    def day_sheet(
        self, day: date | None = None, *, person: str | None = None, paper: str = "a4"
    ) -> bytes:
        """Return day sheets: today's without a day, everyone's where nobody is named."""
        said = None if day is None else day.isoformat()
        return self._file("day-sheet.pdf", {"day": said, "person": person, "paper": paper})

    def mould_labels(self, family: str | None = None, *, paper: str = "a4") -> bytes:
        """Return a label for each mould, of one family or of all."""
        return self._file("mould-labels.pdf", {"family": family, "paper": paper})

    def buy_list(self, *, by: date | None = None, paper: str = "a4") -> bytes:
        """Return the cheapest packs for what the open orders draw beyond stock."""
        said = None if by is None else by.isoformat()
        return self._file("buy-list.pdf", {"by": said, "paper": paper})

    def _file(self, name: str, query: dict[str, str | None]) -> bytes:
        call = Call(method="GET", path=f"{self._path}/{name}", query=query)
        return self._connection.content(call)
