"""The orders of one shop."""

from __future__ import annotations

from typing import Literal

from mouldwright.client.call import Call, segment
from mouldwright.client.kept import Kept
from mouldwright.client.steps import Steps, Tells
from mouldwright.client.verbs import C, Told, Verb, Verbs
from mouldwright.wire.answers.bench_day import StageAnswer
from mouldwright.wire.service.order import (
    BookedOrder,
    CallOffAsk,
    OrderChangeAsk,
    OrderList,
    SettlementAnswer,
)

Order = Kept[BookedOrder]


class Orders(Verbs[C]):
    """Reads, changes and calls off what accepted quotes booked.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where they are."""
        super().__init__(connection, f"{shop_path}/orders")

    @Told
    def list(self, *, page: int = 100) -> Tells[BookedOrder]:
        """Yield the orders, the first booked first, a page of so many at a time."""
        call = Call(method="GET", path=self._path, query={"limit": page})
        return self._connection.pages(call, OrderList, lambda found: (found.orders, found.next))

    @Verb
    def read(self, number: str, *, known: Order | None = None) -> Steps[Order]:
        """Return an order; ``known`` itself where that still holds."""
        call = Call(method="GET", path=f"{self._path}/{segment(number)}")
        return self._connection.read_anew(call, BookedOrder, known)

    @Verb
    def stage(self, number: str) -> Steps[StageAnswer]:
        """Return how far an order is and its next date, as its customer is told."""
        call = Call(method="GET", path=f"{self._path}/{segment(number)}/stage")
        return self._connection.value(call, StageAnswer)

    @Verb
    def change(self, order: Order, change: OrderChangeAsk) -> Steps[Order]:
        """Change how many are wanted, when, or how many are begun; it is planned anew."""
        call = Call(
            method="PATCH",
            path=f"{self._path}/{segment(order.value.number)}",
            body=change,
            etag=order.etag,
        )
        return self._connection.read(call, BookedOrder)

    @Verb
    def call_off(self, order: Order, *, by: Literal["customer", "shop"]) -> Steps[SettlementAnswer]:
        """Call it off; return what it comes to."""
        call = Call(
            method="POST",
            path=f"{self._path}/{segment(order.value.number)}/cancel",
            body=CallOffAsk(by=by),
            etag=order.etag,
        )
        return self._connection.value(call, SettlementAnswer)
