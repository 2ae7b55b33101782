"""A process: how parts are made, as data. Pressing, casting and printing are three entries."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, Literal

from mouldwright.domain.process.hold import Hold as Hold
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.rework import (
    Rework,
    as_written,
    held,
    laid_out,
    of_first_rounds,
)
from mouldwright.domain.structure.kinds import Structure


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumable:
    """Something used up: gloves, cups, paper."""

    name: str
    cost: Decimal
    per: Literal["order", "batch", "pull", "part", "session"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Process:
    """How a part is made.

    Attributes:
        operations: The routing, in order, the rounds of its reworks in it, conditioning left out.
        reworks: Its reworks as written; ``rework.laid_out`` puts them into the routing.
        conditioning: The mould's own upkeep task, where there is one.
        squeeze_out: Extra matrix loaded, as a share of the matrix in the finished part.
        strength_mpa: Bending strength of parts made so; None where nobody tested it.
        weight_window: Share by which a finished part may weigh more or less than expected.
        waste_share: Of what is loaded dry, bought and not in the part (purge, supports, trim).
        greatest_c: The hottest its parts may get; None where that is not stated.
        fit_to_sell: Whether parts made so may be sold to bear load, from the shop's record.
    """

    key: str
    title: str
    structure: Structure | None
    operations: tuple[Operation, ...]
    holds: tuple[Hold, ...] = ()
    reworks: tuple[Rework, ...] = ()
    conditioning: Operation | None = None
    consumables: tuple[Consumable, ...] = ()
    squeeze_out: Decimal = Decimal(0)
    waste_share: Decimal = Decimal(0)
    strength_mpa: float | None = None
    weight_window: Decimal = Decimal("0.03")
    fit_to_sell: bool = True
    cautions: tuple[str, ...] = ()
    greatest_c: Decimal | None = None

    @classmethod
    def laid_out(
        cls,
        *,
        operations: tuple[Operation, ...],
        holds: tuple[Hold, ...] = (),
        reworks: tuple[Rework, ...] = (),
        **more: Any,
    ) -> Process:
        """Return a process of operations and holds as written, its reworks put among them."""
        return cls(
            operations=laid_out(operations, reworks),
            holds=held(holds, reworks),
            reworks=reworks,
            **more,
        )

    @property
    def proof(self) -> Process:
        """Return what a proof pull goes through: up to the end of the mould's hold.

        Nothing done once for the order is in it, and no rework.
        """
        last = max((self.index(h.last) for h in self.holds if h.resource == "mould"), default=-1)
        steps = tuple(o for o in self.operations[: last + 1] if o.per != "order" and not o.rework)
        names = {operation.name for operation in steps}
        return replace(
            self,
            operations=tuple(
                replace(o, after=tuple(name for name in o.after if name in names)) for o in steps
            ),
            holds=tuple(h for h in self.holds if h.first in names and h.last in names),
            reworks=(),
        )

    @property
    def operations_written(self) -> tuple[Operation, ...]:
        """Return the operations without the rounds of its reworks."""
        return as_written(self.operations)

    @property
    def holds_written(self) -> tuple[Hold, ...]:
        """Return the holds without those of later rounds."""
        return of_first_rounds(self.holds, self.operations)

    def loses_what_is_in(self, name: str) -> bool:
        """Return whether what an operation was stopped on is lost, and not begun again.

        A cure or a print that ends early is; so is work on a mix that has been made, as long as
        the mould is kept. Other work is done again.
        """
        names = [operation.name for operation in self.operations]
        if name not in names:
            return False
        at = names.index(name)
        if not self.operations[at].attended:
            return True
        mixed = [i for i, operation in enumerate(self.operations) if operation.material]
        kept = [names.index(hold.last) for hold in self.holds if hold.resource == "mould"]
        return bool(mixed) and mixed[0] < at <= max(kept, default=len(names))

    def operation(self, name: str) -> Operation:
        """Return the operation of that name.

        Raises:
            KeyError: if the process has none.
        """
        for operation in self.operations:
            if operation.name == name:
                return operation
        raise KeyError(name)

    def index(self, name: str) -> int:
        """Return the place of an operation in the routing.

        Raises:
            KeyError: if the process has none of that name.
        """
        for place, operation in enumerate(self.operations):
            if operation.name == name:
                return place
        raise KeyError(name)

    @property
    def serial_place(self) -> int | None:
        """Return the place of the operation at whose end a part has its serial.

        The last of the first hold; without a hold, the first operation per part. A part's
        age is counted from there. None where there is neither.
        """
        if self.holds:
            return self.index(self.holds[0].last)
        singly = (i for i, o in enumerate(self.operations) if o.per == "part" and o.is_for_all)
        return next(singly, None)

    @property
    def uses_mould(self) -> bool:
        """Return whether any hold is on a mould."""
        return any(hold.resource == "mould" for hold in self.holds)

    @property
    def hottest_in_mould_c(self) -> Decimal | None:
        """Return the hottest its moulds get while they hold a part; None where none is heated."""
        names = [operation.name for operation in self.operations]
        held: set[int] = set()
        for hold in self.holds:
            if hold.resource == "mould" and hold.first in names and hold.last in names:
                held.update(range(names.index(hold.first), names.index(hold.last) + 1))
        heats = (self.operations[place].heat for place in held)
        return max((heat.hold_c for heat in heats if heat is not None), default=None)

    @property
    def has_pulls(self) -> bool:
        """Return whether work goes by pulls: it holds a mould or has a step per pull."""
        return self.uses_mould or any(o.per == "pull" for o in self.operations)
