"""Papers for the bench of one shop."""

from __future__ import annotations

from datetime import date

from mouldwright.client.call import Call
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs


class Papers(Verbs[C]):
    """Fetches what is set on paper for the bench, as PDF.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where they are."""
        super().__init__(connection, f"{shop_path}/papers")

    @Verb
    def day_sheet(
        self, day: date | None = None, *, person: str | None = None, paper: str = "a4"
    ) -> Steps[bytes]:
        """Return day sheets: today's without a day, everyone's where nobody is named."""
        said = None if day is None else day.isoformat()
        return self._file("day-sheet.pdf", {"day": said, "person": person, "paper": paper})

    @Verb
    def mould_labels(self, family: str | None = None, *, paper: str = "a4") -> Steps[bytes]:
        """Return a label for each mould, of one family or of all."""
        return self._file("mould-labels.pdf", {"family": family, "paper": paper})

    @Verb
    def buy_list(self, *, by: date | None = None, paper: str = "a4") -> Steps[bytes]:
        """Return the cheapest packs for what the open orders draw beyond stock."""
        said = None if by is None else by.isoformat()
        return self._file("buy-list.pdf", {"by": said, "paper": paper})

    def _file(self, name: str, query: dict[str, str | None]) -> Steps[bytes]:
        call = Call(method="GET", path=f"{self._path}/{name}", query=query)
        return self._connection.content(call)
