"""What is pinned in one shop, and what moving a task would do."""

from __future__ import annotations

from mouldwright.client.call import Call, new_key, segment
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.service.pin import MoveAsk, PinAnswer, PinAsk, PinList, VerdictAnswer


class Pins(Verbs[C]):
    """Tries moves, pins tasks and takes pins out.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    @Verb
    def judge(self, plan: int, task: int, move: MoveAsk) -> Steps[VerdictAnswer]:
        """Return what moving a task does, all others left where they are; nothing is kept.

        Args:
            plan: Version of a published plan.
            task: Place in its tasks, from 0.
            move: Where it should stand.
        """
        call = Call(method="POST", path=f"{self._path}/plan/{plan}/tasks/{task}/verdict", body=move)
        return self._connection.value(call, VerdictAnswer)

    @Verb
    def list(self) -> Steps[list[PinAnswer]]:
        """Return what is pinned, the first pinned first."""
        call = Call(method="GET", path=f"{self._path}/pins")
        return (yield from self._connection.value(call, PinList)).pins

    @Verb
    def pin(
        self, plan: int, task: int, move: MoveAsk, *, key: str | None = None
    ) -> Steps[PinAnswer]:
        """Pin a task of the plan that holds where it should stand; every plan then keeps it.

        Args:
            plan: Version that was read; refused where another holds.
            task: Place in its tasks, from 0.
            move: Where it should stand.
            key: Pins once, however often it is sent. Left out, one is made up.
        """
        ask = PinAsk(plan=plan, task=task, **dict(move))
        call = Call(method="POST", path=f"{self._path}/pins", body=ask, key=key or new_key())
        return self._connection.value(call, PinAnswer)

    @Verb
    def remove(self, pin_id: str) -> Steps[None]:
        """Take a pin out."""
        return self._connection.done(
            Call(method="DELETE", path=f"{self._path}/pins/{segment(pin_id)}")
        )
