"""What the log of one shop teaches."""

from __future__ import annotations

from mouldwright.client.call import Call, new_key, segment
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.answers.learnt import (
    LearntAnswer,
    LearntChangeAnswer,
    TakeAsk,
    TakenAnswer,
)


class Learning(Verbs[C]):
    """Reads what was learnt at the bench, and takes it into the shop.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    @Verb
    def read(self) -> Steps[LearntAnswer]:
        """Return times, yields and failures beside the standard, and what they would change."""
        call = Call(method="GET", path=f"{self._path}/learnt")
        return self._connection.value(call, LearntAnswer)

    @Verb
    def take(
        self, change: LearntChangeAnswer, *, read: LearntAnswer, key: str | None = None
    ) -> Steps[TakenAnswer]:
        """Take a change into the shop as a new version.

        Args:
            change: One of those that were read.
            read: The answer it is of; refused where the shop or the evidence is another by now.
            key: Takes it once, however often it is sent. Left out, one is made up.
        """
        ask = TakeAsk(key=change.key, evidence=change.evidence, version=read.version or 1)
        path = f"{self._path}/learnt/taken"
        call = Call(method="POST", path=path, body=ask, key=key or new_key())
        return self._connection.value(call, TakenAnswer)

    @Verb
    def decline(self, change: LearntChangeAnswer) -> Steps[LearntChangeAnswer]:
        """Leave a change: it is not proposed again until it rests on twice the evidence."""
        call = Call(method="PUT", path=self._declined(change.key))
        return self._connection.value(call, LearntChangeAnswer)

    @Verb
    def propose_again(self, change: LearntChangeAnswer) -> Steps[None]:
        """Have a declined change proposed again."""
        return self._connection.done(Call(method="DELETE", path=self._declined(change.key)))

    def _declined(self, key: str) -> str:
        return f"{self._path}/learnt/declined/{segment(key)}"
