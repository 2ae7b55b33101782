"""The orders of one shop."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from mouldwright.client.connection import Call, Connection, segment
from mouldwright.client.kept import Kept
from mouldwright.wire.answers.bench_day import StageAnswer
from mouldwright.wire.service.order import (
    BookedOrder,
    CallOffAsk,
    OrderChangeAsk,
    OrderList,
    SettlementAnswer,
)

Order = Kept[BookedOrder]


class Orders:
    """Reads, changes and calls off what accepted quotes booked.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: Connection, shop_path: str) -> None:
        """Keep where they are."""
        self._connection, self._path = connection, f"{shop_path}/orders"

    def list(self, *, page: int = 100) -> Iterator[BookedOrder]:
        """Yield the orders, the first booked first, a page of so many at a time."""
        cursor = None
        while True:
            call = Call(method="GET", path=self._path, query={"limit": page, "cursor": cursor})
            found = self._connection.read(call, OrderList).value
            yield from found.orders
            cursor = found.next
            if cursor is None:
                return

    def read(self, number: str, *, known: Order | None = None) -> Order:
        """Return an order; ``known`` itself where that still holds."""
        call = Call(method="GET", path=f"{self._path}/{segment(number)}")
        return self._connection.read_anew(call, BookedOrder, known)

    def stage(self, number: str) -> StageAnswer:
        """Return how far an order is and its next date, as its customer is told."""
        call = Call(method="GET", path=f"{self._path}/{segment(number)}/stage")
        return self._connection.read(call, StageAnswer).value

    def change(self, order: Order, change: OrderChangeAsk) -> Order:
        """Change how many are wanted, when, or how many are begun; it is planned anew."""
        call = Call(
            method="PATCH",
            path=f"{self._path}/{segment(order.value.number)}",
            body=change,
            etag=order.etag,
        )
        return self._connection.read(call, BookedOrder)

    def call_off(self, order: Order, *, by: Literal["customer", "shop"]) -> SettlementAnswer:
        """Call it off; return what it comes to."""
        call = Call(
            method="POST",
            path=f"{self._path}/{segment(order.value.number)}/cancel",
            body=CallOffAsk(by=by),
            etag=order.etag,
        )
        return self._connection.read(call, SettlementAnswer).value
