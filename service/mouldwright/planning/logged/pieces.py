"""How the pulls and parts of an order are numbered, from the day it is booked to its last."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.scrap import starts_for
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.numbering import Numbering
from mouldwright.planning.toolmaking import serving

# Further pulls of a set's parts are numbered from the next of these on, one for each kind.
_APART = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """All that an order begins of one part by one process.

    Attributes:
        quantity: Good parts wanted.
        numbers: Of its pulls and parts; ``units`` there are begun by the rule of the shop.
        is_fixed: Whether the order says itself how many are begun.
    """

    order: str
    part: str
    process: str
    quantity: int
    numbers: Numbering
    is_fixed: bool = False

    @property
    def cavities(self) -> int:
        """Return the parts of one unit."""
        return self.numbers.cavities

    @property
    def units(self) -> int:
        """Return the units begun when nothing was lost yet."""
        return self.numbers.units


def pieces_of(shop: Shop, order: Order) -> tuple[Piece, ...]:
    """Return the pieces of an order, in the order they are numbered.

    Raises:
        NotFound: if it names a part or process the shop does not have.
        InvalidInput: if its quantity or a good rate cannot be right.
    """
    return tuple(_numbered(list(_counted(shop, order)), in_a_set=order.part in shop.sets))


def _counted(shop: Shop, order: Order) -> Iterator[Piece]:
    sold = shop.sets.get(order.part)
    if sold is None:
        wanted = [(order.part, order.process or "", order.quantity, order.starts)]
    else:
        made = good_pieces(shop, sold, order.quantity)
        wanted = [(p.part, p.process, n, None) for p, n in zip(sold.parts, made, strict=True)]
    for part, process_key, quantity, fixed in wanted:
        process = shop.process(process_key)
        families = serving(shop, part, process_key) if process.uses_mould else ()
        cavities = families[0].cavities if families else 1
        starts = fixed
        if starts is None:
            loss = families[0].loss_rate if families else 0
            rule = shop.service_level
            starts = starts_for(quantity, process, cavities, rule, loss_rate=loss).starts
        units = -(-starts // cavities)
        yield Piece(
            order=order.number,
            part=part,
            process=process_key,
            quantity=quantity,
            numbers=Numbering(
                cavities=cavities, units=units, first_pull=int(process.has_pulls), first_part=1
            ),
            is_fixed=fixed is not None,
        )


def _numbered(pieces: list[Piece], *, in_a_set: bool) -> Iterator[Piece]:
    pull = part = 1
    total = sum(piece.units * piece.cavities for piece in pieces)
    apart = -(-(total + 1) // _APART) * _APART
    for at, piece in enumerate(pieces):
        pulls = piece.numbers.has_pulls
        after = (pull + piece.units, part + piece.units * piece.cavities)
        beyond = (apart * (at + 1) + 1,) * 2 if in_a_set else after
        numbers = Numbering(
            cavities=piece.cavities,
            units=piece.units,
            first_pull=pull if pulls else 0,
            first_part=part,
            further_pull=beyond[0] if pulls else 0,
            further_part=beyond[1],
            most_further=apart // piece.cavities if in_a_set else 10**6,
        )
        yield replace(piece, numbers=numbers)
        pull, part = after[0] if pulls else pull, after[1]
