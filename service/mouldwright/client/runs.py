"""The runs of one shop: a plan asked for, watched, stopped, published."""

from __future__ import annotations

from mouldwright.client.call import Call, new_key, segment
from mouldwright.client.kept import Kept
from mouldwright.client.steps import Steps, Tells
from mouldwright.client.verbs import C, Told, Verb, Verbs
from mouldwright.client.watching import Watch
from mouldwright.wire.kept_plan import KeptPlanDocument
from mouldwright.wire.service.changes import ChangesAnswer
from mouldwright.wire.service.run import (
    MouldsAsk,
    OneMoreAsk,
    PlanAsk,
    PublishedPlan,
    RunAnswer,
    RunList,
    StudyAnswer,
    TryAtLengthAsk,
)

Run = Kept[RunAnswer]


class Runs(Verbs[C]):
    """Asks for plans and watches them being made.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where they are."""
        super().__init__(connection, f"{shop_path}/runs")

    @Verb
    def start(
        self,
        *,
        seconds: float = 10.0,
        seed: int = 1,
        publish: bool = True,
        keep: bool = True,
        key: str | None = None,
    ) -> Steps[Run]:
        """Ask for a plan of all that is booked; where one waits already, that one will do.

        Args:
            seconds: How long to look for a better plan.
            seed: Same seed, same search.
            publish: Whether the plan holds as the run ends; else look at ``changes``, then
                ``publish``.
            keep: Whether what stands of the plan that holds stays where it is.
            key: Asks once, however often it is sent. Left out, one is made up.
        """
        ask = PlanAsk(seconds=seconds, seed=seed, publish=publish, keep=keep)
        call = Call(method="POST", path=self._path, body=ask, key=key or new_key())
        return self._connection.read(call, RunAnswer)

    @Verb
    def one_more(
        self, *, seconds: float = 3.0, seed: int = 1, key: str | None = None
    ) -> Steps[Run]:
        """Ask what one more mould, hour, day or machine would buy; watch it, read its ``answer``.

        Args:
            seconds: How long to look for a better plan with each.
            seed: Same seed, same search.
            key: Asks once, however often it is sent. Left out, one is made up.
        """
        ask = OneMoreAsk(seconds=seconds, seed=seed)
        call = Call(method="POST", path=f"{self._path}/one-more", body=ask, key=key or new_key())
        return self._connection.read(call, RunAnswer)

    @Verb
    def moulds(
        self,
        order: str,
        *,
        most: int | None = None,
        seconds: float = 3.0,
        seed: int = 1,
        key: str | None = None,
    ) -> Steps[Run]:
        """Ask how many moulds an open order wants; watch it, read its ``answer``.

        Args:
            order: Its number.
            most: Try no more than this; None until more do not help.
            seconds: How long to look for a better plan with each count.
            seed: Same seed, same search.
            key: Asks once, however often it is sent. Left out, one is made up.
        """
        ask = MouldsAsk(order=order, most=most, seconds=seconds, seed=seed)
        call = Call(method="POST", path=f"{self._path}/moulds", body=ask, key=key or new_key())
        return self._connection.read(call, RunAnswer)

    @Verb
    def try_order(
        self,
        part: str,
        quantity: int,
        *,
        process: str | None = None,
        by: str | None = None,
        weight: int = 1,
        seconds: float = 1.5,
        seed: int = 1,
        key: str | None = None,
    ) -> Steps[Run]:
        """Ask how one more order could be taken, each way planned and priced; then ``answer``.

        Args:
            part: Key of a part or of a set.
            quantity: Good pieces wanted.
            process: Key of a process; None for a set.
            by: When it is wanted: a date, or a date and time.
            weight: How much its lateness counts.
            seconds: How long to look for a better plan of each way.
            seed: Same seed, same search.
            key: Asks once, however often it is sent. Left out, one is made up.
        """
        ask = TryAtLengthAsk(
            part=part,
            process=process,
            quantity=quantity,
            by=by,
            weight=weight,
            seconds=seconds,
            seed=seed,
        )
        call = Call(method="POST", path=f"{self._path}/try-order", body=ask, key=key or new_key())
        return self._connection.read(call, RunAnswer)

    @Verb
    def answer(self, run_id: str) -> Steps[StudyAnswer]:
        """Return what a question was answered; nothing of it while it is still worked on."""
        call = Call(method="GET", path=f"{self._path}/{segment(run_id)}/answer")
        return self._connection.value(call, StudyAnswer)

    @Told
    def list(self, *, page: int = 100) -> Tells[RunAnswer]:
        """Yield the runs, the newest first, a page of so many at a time."""
        call = Call(method="GET", path=self._path, query={"limit": page})
        return self._connection.pages(call, RunList, lambda found: (found.runs, found.next))

    @Verb
    def read(self, run_id: str, *, known: Run | None = None) -> Steps[Run]:
        """Return a run; ``known`` itself where nothing happened since."""
        call = Call(method="GET", path=f"{self._path}/{segment(run_id)}")
        return self._connection.read_anew(call, RunAnswer, known)

    @Told
    def watch(self, run_id: str, *, every_s: float = 0.5) -> Tells[RunAnswer]:
        """Yield a run each time something happened to it, and last as it ended.

        It is told by the service as it happens; where that cannot be had, or breaks off
        again and again, it is asked for instead.

        Args:
            run_id: Which.
            every_s: Wait between two questions, seconds, where it must be asked for.
        """
        return Watch(self._connection, f"{self._path}/{segment(run_id)}", every_s=every_s).told()

    @Verb
    def wait(self, run_id: str) -> Steps[RunAnswer]:
        """Return a run once it has ended."""
        watch = Watch(self._connection, f"{self._path}/{segment(run_id)}", every_s=0.5)
        yield from watch.told()
        return watch.last

    @Verb
    def plan(self, run_id: str) -> Steps[KeptPlanDocument]:
        """Return the best plan of a run so far, published or not."""
        call = Call(method="GET", path=f"{self._path}/{segment(run_id)}/plan")
        return self._connection.value(call, KeptPlanDocument)

    @Verb
    def changes(self, run_id: str) -> Steps[ChangesAnswer]:
        """Return what the best plan of a run would change beside the plan that holds."""
        call = Call(method="GET", path=f"{self._path}/{segment(run_id)}/changes")
        return self._connection.value(call, ChangesAnswer)

    @Verb
    def cancel(self, run_id: str) -> Steps[Run]:
        """Ask a run to stop with the best plan so far."""
        call = Call(method="POST", path=f"{self._path}/{segment(run_id)}/cancel")
        return self._connection.read(call, RunAnswer)

    @Verb
    def publish(self, run_id: str) -> Steps[PublishedPlan]:
        """Let the plan of a run hold; refused where the shop or its orders changed since."""
        call = Call(method="POST", path=f"{self._path}/{segment(run_id)}/publish")
        return self._connection.value(call, PublishedPlan)
