"""What happened at the bench of one shop."""

from __future__ import annotations

from mouldwright.client.call import Call, new_key
from mouldwright.client.steps import Steps, Tells
from mouldwright.client.verbs import C, Told, Verb, Verbs
from mouldwright.wire.service.log import LogEntryAnswer, LogList, NoteAsk, TakeBackAsk


class Log(Verbs[C]):
    """Notes what happens, lists it and takes it back.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where it is."""
        super().__init__(connection, f"{shop_path}/log")

    @Verb
    def note(self, happened: NoteAsk, *, key: str | None = None) -> Steps[LogEntryAnswer]:
        """Note what happened; return the entry as it is kept.

        Args:
            happened: What it was. With ``said_once`` it is kept once, whoever sends it again.
            key: Notes once, however often it is sent. Left out, one is made up.
        """
        call = Call(method="POST", path=self._path, body=happened, key=key or new_key())
        return self._connection.value(call, LogEntryAnswer)

    @Verb
    def take_back(
        self, number: int, *, note: str = "", key: str | None = None
    ) -> Steps[LogEntryAnswer]:
        """Take an entry back; return the further entry that does it.

        Args:
            number: Which entry; that of one which takes back puts the first in force again.
            note: Why.
            key: Does it once, however often it is sent. Left out, one is made up.
        """
        call = Call(
            method="POST",
            path=f"{self._path}/{number}/take-back",
            body=TakeBackAsk(note=note),
            key=key or new_key(),
        )
        return self._connection.value(call, LogEntryAnswer)

    @Verb
    def read(self, number: int) -> Steps[LogEntryAnswer]:
        """Return one entry."""
        call = Call(method="GET", path=f"{self._path}/{number}")
        return self._connection.value(call, LogEntryAnswer)

    @Told
    def list(
        self,
        *,
        day: str | None = None,
        what: str | None = None,
        order: str | None = None,
        mould: str | None = None,
        person: str | None = None,
        material: str | None = None,
        page: int = 100,
    ) -> Tells[LogEntryAnswer]:
        """Yield what happened, the entry noted last first, a page of so many at a time.

        Args:
            day: Only what happened on a local day, such as ``2027-03-02``.
            what: Only such happenings, such as ``scrapped``.
            order: Only what is about an order.
            mould: Only what is about a mould, such as ``stabiliser-pressed 3``.
            person: Only what someone's hands did, by key.
            material: Only what is about a material, by key.
            page: How many are fetched at once.
        """
        query = {
            "limit": page,
            "day": day,
            "what": what,
            "order": order,
            "mould": mould,
            "person": person,
            "material": material,
        }
        call = Call(method="GET", path=self._path, query=query)
        return self._connection.pages(call, LogList, lambda found: (found.entries, found.next))
