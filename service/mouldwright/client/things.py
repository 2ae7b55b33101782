"""Parts, processes, materials and moulds of one shop: each read and written by its key."""

from __future__ import annotations

from typing import Generic, TypeVar

from pydantic import BaseModel

from mouldwright.client.call import Call, segment
from mouldwright.client.kept import Kept
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs

Entry = TypeVar("Entry", bound=BaseModel)
Thing = TypeVar("Thing", bound=BaseModel)
Every = TypeVar("Every", bound=BaseModel)


class Things(Verbs[C], Generic[C, Every, Entry, Thing]):
    """Reads and writes one kind of thing.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    A change is made only if the shop is as it was when the thing was read.
    """

    def __init__(self, connection: C, path: str, *, every: type[Every], entry: type[Entry]) -> None:
        """Keep where they are and what they read as."""
        super().__init__(connection, path)
        self._every, self._entry = every, entry

    @Verb
    def list(self, *, known: Kept[Every] | None = None) -> Steps[Kept[Every]]:
        """Return all of them; ``known`` itself where that still holds."""
        return self._connection.read_anew(Call(method="GET", path=self._path), self._every, known)

    @Verb
    def read(self, key: str, *, known: Kept[Entry] | None = None) -> Steps[Kept[Entry]]:
        """Return one; ``known`` itself where that still holds."""
        call = Call(method="GET", path=f"{self._path}/{segment(key)}")
        return self._connection.read_anew(call, self._entry, known)

    @Verb
    def write(
        self, key: str, thing: Thing, *, read: Kept[Entry] | Kept[Every]
    ) -> Steps[Kept[Entry]]:
        """Write one anew, or a new one, over what was read."""
        call = Call(method="PUT", path=f"{self._path}/{segment(key)}", body=thing, etag=read.etag)
        return self._connection.read(call, self._entry)

    @Verb
    def remove(self, key: str, *, read: Kept[Entry] | Kept[Every]) -> Steps[None]:
        """Take one away; refused where something else needs it."""
        return self._connection.done(
            Call(method="DELETE", path=f"{self._path}/{segment(key)}", etag=read.etag)
        )
