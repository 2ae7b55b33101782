"""The mark of one shop."""

from __future__ import annotations

from mouldwright.client.call import Call
from mouldwright.client.kept import Kept
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.service.mark import MarkAnswer, MarkWrite


class Mark(Verbs[C]):
    """Reads, puts and takes away what stands at the head of quotes.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where it is."""
        super().__init__(connection, f"{shop_path}/mark")

    @Verb
    def read(
        self, version: int | None = None, *, known: Kept[MarkAnswer] | None = None
    ) -> Steps[Kept[MarkAnswer]]:
        """Return it, of an earlier version of the shop where one is named."""
        call = Call(method="GET", path=self._path, query={"version": version})
        return self._connection.read_anew(call, MarkAnswer, known)

    @Verb
    def put(self, file: bytes, *, read: Kept[MarkAnswer]) -> Steps[Kept[MarkAnswer]]:
        """Put the drawing of a file, an SVG or a PNG, in place of what was read."""
        body = MarkWrite.of(file)
        call = Call(method="PUT", path=self._path, body=body, etag=read.etag)
        return self._connection.read(call, MarkAnswer)

    @Verb
    def take_away(self, *, read: Kept[MarkAnswer]) -> Steps[None]:
        """Take away what was read; quotes that have it keep it."""
        return self._connection.done(Call(method="DELETE", path=self._path, etag=read.etag))
