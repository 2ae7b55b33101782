"""Serials: the order's number and the part's, as 1001-7; and which part comes of which pull."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.scrap import starts_for
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.order import Order
from mouldwright.domain.quantity import divide_up
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, order=True)
class Serial:
    """What a part is called from its demoulding on.

    Attributes:
        order: Number of its order.
        part: Its number within the order, from 1.
    """

    order: str
    part: int

    def __str__(self) -> str:
        """Return it as it is written on the part."""
        return f"{self.order}-{self.part}"

    @classmethod
    def read(cls, text: str) -> Serial:
        """Return the serial of a text such as "1001-7".

        Raises:
            InvalidInput: if it is none.
        """
        order, _, part = text.strip().rpartition("-")
        if not order or not part.isascii() or not part.isdigit() or int(part) < 1:
            fault = Fault(
                path="serial",
                value=text,
                problem="that is no serial.",
                remedy="Write the order's number, a hyphen and the part's: 1001-7.",
            )
            raise InvalidInput([fault])
        return cls(order, int(part))


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLot:
    """The starts of one part by one process within an order, as a plan numbers them.

    Attributes:
        part: Key of the part; of the set, for the work on a set itself.
        process: Key of the process; of the set, for the work on a set itself.
        first_pull: 0 where the process has no pulls.
        first_part: Number of its first part.
        units: Pulls, or parts where there are no pulls.
        cavities: Parts of one unit.
        is_last: Whether no other lot of the order follows, so that more starts are its own.
    """

    part: str
    process: str
    first_pull: int
    first_part: int
    units: int
    cavities: int
    is_last: bool

    def parts_of(self, pull: int) -> tuple[int, ...]:
        """Return the parts of a pull."""
        first = self.first_part + (pull - self.first_pull) * self.cavities
        return tuple(range(first, first + self.cavities))

    def pull_of(self, part: int) -> int | None:
        """Return the pull that a part comes of; None where the process has no pulls."""
        if not self.first_pull:
            return None
        return self.first_pull + (part - self.first_part) // self.cavities

    def holds_pull(self, pull: int) -> bool:
        """Return whether a pull of the order is one of these."""
        return 0 < self.first_pull <= pull and (self.is_last or pull < self.first_pull + self.units)

    def holds_part(self, part: int) -> bool:
        """Return whether a part of the order is one of these."""
        return self.first_part <= part and (
            self.is_last or part < self.first_part + self.units * self.cavities
        )


def lots_of(shop: Shop, order: Order) -> tuple[OrderLot, ...]:
    """Return the lots of an order in their sequence, numbered as a plan numbers them.

    Raises:
        NotFound: if the shop lacks a process of it.
        InvalidInput: if a quantity or a good rate cannot be right.
    """
    sold = shop.sets.get(order.part)
    if sold is None:
        wanted = [(order.part, order.process or "", order.quantity, order.starts)]
        return tuple(_numbered(shop, wanted))
    pieces = good_pieces(shop, sold, order.quantity)
    wanted = [(p.part, p.process, n, None) for p, n in zip(sold.parts, pieces, strict=True)]
    lots = tuple(_numbered(shop, wanted))
    if not sold.operations or not lots:
        return lots
    *before, last = lots
    own = OrderLot(
        part=sold.key,
        process=sold.key,
        first_pull=0,
        first_part=last.first_part + last.units * last.cavities,
        units=order.quantity,
        cavities=1,
        is_last=True,
    )
    return (*before, replace(last, is_last=False), own)


def _numbered(shop: Shop, wanted: list[tuple[str, str, int, int | None]]) -> Iterator[OrderLot]:
    pull, part = 1, 1
    for place, (part_key, process_key, quantity, fixed) in enumerate(wanted):
        process = shop.process(process_key)
        served = [f for f in shop.families(part_key, process_key) if f.moulds or f.made_by]
        family = served[0] if process.uses_mould and served else None
        cavities = family.cavities if family else 1
        starts = fixed
        if starts is None:
            starts = starts_for(
                quantity,
                process,
                cavities,
                shop.service_level,
                loss_rate=family.loss_rate if family else 0,
            ).starts
        units = divide_up(starts, cavities)
        yield OrderLot(
            part=part_key,
            process=process_key,
            first_pull=pull if process.has_pulls else 0,
            first_part=part,
            units=units,
            cavities=cavities,
            is_last=place == len(wanted) - 1,
        )
        part += units * cavities
        pull += units if process.has_pulls else 0
