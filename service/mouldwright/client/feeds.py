"""The feeds of one shop."""

from __future__ import annotations

from mouldwright.client.call import Call, new_key, segment
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.service.feed import (
    FeedAbout,
    FeedAnswer,
    FeedAsk,
    FeedKind,
    FeedList,
    MadeFeedAnswer,
)


class Feeds(Verbs[C]):
    """Makes, lists and withdraws the addresses at which calendars look by themselves.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where they are."""
        super().__init__(connection, f"{shop_path}/feeds")

    @Verb
    def make(
        self,
        *,
        kind: FeedKind = "calendar",
        about: FeedAbout = "shop",
        of: str = "",
        label: str = "",
        key: str | None = None,
    ) -> Steps[MadeFeedAnswer]:
        """Make a feed. Its path is shown this once, and opens to whoever has it.

        Args:
            kind: The plan as a calendar, or what waits for someone.
            about: What of the shop.
            of: Key of the person or station, name of the mould or unit.
            label: Whose it is, in your words.
            key: Makes it once. Left out, one is made up.
        """
        ask = FeedAsk(kind=kind, about=about, key=of, label=label)
        call = Call(method="POST", path=self._path, body=ask, key=key or new_key())
        return self._connection.value(call, MadeFeedAnswer)

    @Verb
    def list(self) -> Steps[tuple[FeedAnswer, ...]]:
        """Return all feeds, the oldest first, withdrawn ones too."""
        call = Call(method="GET", path=self._path)
        return tuple((yield from self._connection.value(call, FeedList)).feeds)

    @Verb
    def withdraw(self, feed_id: str) -> Steps[None]:
        """Withdraw a feed for good."""
        return self._connection.done(Call(method="DELETE", path=f"{self._path}/{segment(feed_id)}"))

    @Verb
    def read(self, path: str) -> Steps[str]:
        """Return what a feed gives, by the path that was shown when it was made."""
        return self._connection.text(Call(method="GET", path=path))
