"""The ledgers of one shop: how moulds and stock stand, where parts come from, what orders cost."""

from __future__ import annotations

from mouldwright.client.call import Call, segment
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.answers.actual_cost import ActualCostAnswer
from mouldwright.wire.answers.mould_ledger import MouldLedgerAnswer, MouldLedgersAnswer
from mouldwright.wire.answers.stock_ledger import StockLedgerAnswer, StockLedgersAnswer
from mouldwright.wire.answers.trace import PartsAnswer, TraceAnswer


class Ledgers(Verbs[C]):
    """Reads what the log makes of moulds, stock, parts and money.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    @Verb
    def moulds(self) -> Steps[MouldLedgersAnswer]:
        """Return how every mould stands, and what the plan leaves of it."""
        return self._connection.value(self._get("ledgers/moulds"), MouldLedgersAnswer)

    @Verb
    def mould(self, name: str) -> Steps[MouldLedgerAnswer]:
        """Return how one mould stands, and all that happened to it."""
        call = self._get(f"ledgers/moulds/{segment(name)}")
        return self._connection.value(call, MouldLedgerAnswer)

    @Verb
    def stock(self) -> Steps[StockLedgersAnswer]:
        """Return how every material stands, and when the plan runs out of it."""
        return self._connection.value(self._get("ledgers/stock"), StockLedgersAnswer)

    @Verb
    def material(self, key: str) -> Steps[StockLedgerAnswer]:
        """Return one material's lots with all their lines, and what the plan will take."""
        call = self._get(f"ledgers/stock/{segment(key)}")
        return self._connection.value(call, StockLedgerAnswer)

    @Verb
    def part(self, serial: str) -> Steps[TraceAnswer]:
        """Return all that is known of one part, by its serial."""
        return self._connection.value(self._get(f"trace/{segment(serial)}"), TraceAnswer)

    @Verb
    def parts(
        self,
        *,
        order: str | None = None,
        mould: str | None = None,
        material: str | None = None,
        lot: str | None = None,
        mix: int | None = None,
    ) -> Steps[PartsAnswer]:
        """Return the parts that have all of what is asked in common.

        Args:
            order: Number of the order.
            mould: Name of the mould they came of.
            material: Key of a material, with ``lot``.
            lot: Name of a lot of it.
            mix: Number of an entry that tells of the mix.
        """
        call = Call(
            method="GET",
            path=f"{self._path}/trace",
            query={
                "order": order,
                "mould": mould,
                "material": material,
                "lot": lot,
                "mix": None if mix is None else str(mix),
            },
        )
        return self._connection.value(call, PartsAnswer)

    @Verb
    def cost(self, order: str) -> Steps[ActualCostAnswer]:
        """Return what an order really cost so far, beside what it was reckoned to."""
        call = self._get(f"orders/{segment(order)}/cost")
        return self._connection.value(call, ActualCostAnswer)

    def _get(self, below: str) -> Call:
        return Call(method="GET", path=f"{self._path}/{below}")
