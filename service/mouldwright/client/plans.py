"""The plan that holds in one shop."""

from __future__ import annotations

from datetime import date

from mouldwright.client.call import Call, segment
from mouldwright.client.kept import Kept
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.answers.explanation import ExplanationAnswer, ResourcesAnswer
from mouldwright.wire.answers.sessions import SessionCostsAnswer
from mouldwright.wire.service.changes import ChangesAnswer
from mouldwright.wire.service.run import PlanBy, PlanTasks, PublishedPlan

Plan = Kept[PublishedPlan]


class Plans(Verbs[C]):
    """Reads published plans.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where they are."""
        super().__init__(connection, f"{shop_path}/plan")

    @Verb
    def read(
        self,
        version: int | None = None,
        *,
        by: PlanBy | None = None,
        known: Plan | None = None,
    ) -> Steps[Plan]:
        """Return the plan that holds, or an earlier version of it.

        Args:
            version: Which; None for the one that holds.
            by: Group its tasks besides, each in every group it belongs to.
            known: Read before in the same way; it comes back itself where it still holds.
        """
        path = self._path if version is None else f"{self._path}/{version}"
        call = Call(method="GET", path=path, query={"by": by})
        return self._connection.read_anew(call, PublishedPlan, known)

    @Verb
    def tasks(
        self,
        *,
        order: str | None = None,
        person: str | None = None,
        mould: str | None = None,
        day: date | None = None,
    ) -> Steps[PlanTasks]:
        """Return the tasks that fit all that is named, the first to begin first."""
        query = {
            "order": order,
            "person": person,
            "mould": mould,
            "day": None if day is None else day.isoformat(),
        }
        call = Call(method="GET", path=f"{self._path}/tasks", query=query)
        return self._connection.value(call, PlanTasks)

    @Verb
    def changes(self, version: int | None = None) -> Steps[ChangesAnswer]:
        """Return what a published plan changed beside the one before it, why, and the odds.

        Args:
            version: Which plan; None for the one that holds.
        """
        call = Call(method="GET", path=f"{self._path}/changes", query={"version": version})
        return self._connection.value(call, ChangesAnswer)

    @Verb
    def why(self, order: str) -> Steps[ExplanationAnswer]:
        """Return what fixes an order's date in the plan that holds, from its finish back."""
        call = Call(method="GET", path=f"{self._path}/orders/{segment(order)}/why")
        return self._connection.value(call, ExplanationAnswer)

    @Verb
    def resources(self) -> Steps[ResourcesAnswer]:
        """Return what every person, mould and station does in the plan, and idles for."""
        call = Call(method="GET", path=f"{self._path}/resources")
        return self._connection.value(call, ResourcesAnswer)

    @Verb
    def sessions(self) -> Steps[SessionCostsAnswer]:
        """Return what going in and coming out costs in the plan that holds, and as reckoned."""
        call = Call(method="GET", path=f"{self._path}/sessions")
        return self._connection.value(call, SessionCostsAnswer)
