"""An order tried before it is accepted, as a sheet shows it."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.web.words import count, moment, span
from mouldwright.wire.answers.tried_order import TriedOrderAnswer


@dataclass(frozen=True, slots=True, kw_only=True)
class TryForm:
    """What is asked.

    Attributes:
        made: Part and process with a stroke between, as it is chosen.
        choices: What may be chosen, by its value.
    """

    made: str
    part: str
    process: str
    quantity: str
    by: str
    choices: tuple[tuple[str, str], ...]

    def whole_quantity(self) -> int:
        """Return the quantity. Raises InvalidInput where it is no whole number."""
        text = self.quantity.replace(",", "").strip()
        if not (text.isascii() and text.isdigit() and len(text) <= 7):
            raise InvalidInput(
                [
                    Fault(
                        path="quantity",
                        value=self.quantity,
                        problem="that is no whole number.",
                        remedy="Write how many good ones are wanted, such as 12.",
                    )
                ]
            )
        return int(text)


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedView:
    """What accepting would come to.

    Attributes:
        rows: Orders whose date moves: number, ready, would be, late.
        at_risk: Whether any of them would be late that is not, or later than it is.
    """

    ready: str
    is_late: bool
    because: str
    rows: tuple[tuple[str, str, str, str], ...]
    at_risk: bool
    stays: str
    part: str
    quantity: int
    by: str


def try_form(shop: Shop, *, made: str, quantity: str, by: str) -> TryForm:
    """Return the form with what may be chosen: every part by every process, and every set."""
    choices = [
        (f"{part.key}/{process}", f"{part.title}, {shop.processes[process].title.lower()}")
        for part in shop.parts.values()
        for process in part.made_by
        if process in shop.processes
    ]
    choices += [(f"{kit.key}/", kit.title) for kit in shop.sets.values()]
    part, _, process = made.partition("/")
    return TryForm(
        made=made,
        part=part,
        process=process,
        quantity=quantity,
        by=by,
        choices=tuple(choices),
    )


def tried_view(answer: TriedOrderAnswer) -> TriedView:
    """Return the sheet's part on an order that was tried."""
    ready = f"Ready {moment(answer.finish)}"
    if answer.late_min:
        ready += f", {span(answer.late_min)} late"
    elif answer.due is not None:
        ready += ", in time"
    worse = [o for o in answer.orders if o.late_after_min > o.late_before_min]
    moved = f"{count(answer.moved, 'task')} would move" if answer.moved else "none would move"
    return TriedView(
        ready=f"{ready}.",
        is_late=answer.late_min > 0,
        because=answer.because,
        rows=tuple(
            (
                order.number,
                moment(order.before),
                moment(order.after),
                span(order.late_after_min) if order.late_after_min else "in time",
            )
            for order in answer.orders
        ),
        at_risk=bool(worse),
        stays=f"{count(answer.kept, 'planned task')} would stay where they stand; {moved}.",
        part=answer.part,
        quantity=answer.quantity,
        by="" if answer.due is None else answer.due.date().isoformat(),
    )
