"""Who changed what in one shop."""

from __future__ import annotations

from mouldwright.client.call import Call
from mouldwright.client.steps import Steps, Tells
from mouldwright.client.verbs import C, Told, Verb, Verbs
from mouldwright.wire.service.audit import AuditEntryAnswer, AuditList


class Audit(Verbs[C]):
    """Lists who changed what; for owners.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where it is."""
        super().__init__(connection, f"{shop_path}/audit")

    @Told
    def list(
        self,
        *,
        thing: str | None = None,
        key: str | None = None,
        token: str | None = None,
        page: int = 100,
    ) -> Tells[AuditEntryAnswer]:
        """Yield changes, the newest first, a page of so many at a time.

        Args:
            thing: Only such things, such as ``order``.
            key: Only the one of that key, such as ``Q3``.
            token: Only what was asked for with the token of this id.
            page: How many are fetched at once.
        """
        query = {"limit": page, "thing": thing, "key": key, "token": token}
        call = Call(method="GET", path=self._path, query=query)
        return self._connection.pages(call, AuditList, lambda found: (found.entries, found.next))

    @Verb
    def csv(self) -> Steps[bytes]:
        """Return all of it as CSV, a row for each value that changed."""
        return self._connection.content(Call(method="GET", path=f"{self._path}.csv"))
