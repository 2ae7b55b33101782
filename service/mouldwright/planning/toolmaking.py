"""The moulds of a problem: those at hand, and those to be made before their first pull."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.shop import Shop
from mouldwright.planning.numbering import Numbering
from mouldwright.planning.problem import Lot, Tool
from mouldwright.planning.routing import NEVER, Routing


class Moulds:
    """Collects moulds while the orders are gone through.

    Attributes:
        families: Every family met.
        tools: Every mould, those to be made after those at hand.
    """

    def __init__(self, shop: Shop) -> None:
        """Begin with none."""
        self._shop = shop
        self.families: list[MouldFamily] = []
        self.tools: list[Tool] = []
        self._at_hand: dict[tuple[str, str], tuple[int, ...]] = {}

    def at_hand(self, part: str, process: str) -> tuple[int, ...]:
        """Return the moulds at hand that serve a part and process, adding them once."""
        key = (part, process)
        if key not in self._at_hand:
            found: list[int] = []
            for family in serving(self._shop, part, process):
                self.families.append(family)
                for mould in family.moulds:
                    left = family.pulls_left(mould)
                    found.append(len(self.tools))
                    self.tools.append(
                        Tool(
                            name=family.name(mould),
                            family=len(self.families) - 1,
                            pulls=mould.pulls,
                            life_left=NEVER if left is None else left,
                            since=mould.pulls_since_conditioning,
                            every=family.conditioned_every_pulls or NEVER,
                            built_by=-1,
                            proof=family.proof_left(mould),
                        )
                    )
            self._at_hand[key] = tuple(found)
        return self._at_hand[key]

    def make(
        self,
        lots: list[Lot],
        routings: Sequence[Routing],
        append: Callable[..., Lot],
        routing: Callable[[str], int],
    ) -> None:
        """Add the moulds to be made: those at hand do not last, or one more is asked for.

        Args:
            lots: Every lot; those that need a mould are given it.
            routings: Every routing.
            append: Adds a lot.
            routing: Returns the routing of a process.
        """
        for (part, process), tools in list(self._at_hand.items()):
            served = [
                lot
                for lot in lots
                if lot.part == part and routings[lot.routing].key == process and lot.tools == tools
            ]
            pulls = sum(lot.units for lot in served)
            left = sum(max(self.tools[t].life_left - self.tools[t].proof, 0) for t in tools)
            makers = [
                f for f in self.families if (f.part, f.process) == (part, process) and f.made_by
            ]
            if not makers:
                continue
            family = makers[0]
            life = (family.life_pulls or NEVER) - family.proof_pulls
            worn = -(-(pulls - left) // life)
            count = max(worn, family.to_make)
            made = tuple(self._build(family, n, append, routing) for n in range(count))
            for lot in served:
                lots[lot.index] = replace(lot, tools=tools + made)

    def _build(
        self,
        family: MouldFamily,
        nth: int,
        append: Callable[..., Lot],
        routing: Callable[[str], int],
    ) -> int:
        numbers = [int(m.number) for m in family.moulds if m.number.isdigit()]
        number = max([*numbers, len(family.moulds)]) + nth + 1
        tool = len(self.tools)
        lot = append(
            order=-1,
            routing=routing(family.made_by or ""),
            part=family.part,
            units=1,
            numbers=Numbering(
                cavities=1,
                units=1,
                first_pull=int(self._shop.process(family.made_by or "").has_pulls),
                first_part=1,
            ),
            release=0,
            builds=tool,
        )
        self.tools.append(
            Tool(
                name=f"{family.key} {number}",
                family=self.families.index(family),
                pulls=0,
                life_left=family.life_pulls or NEVER,
                since=0,
                every=family.conditioned_every_pulls or NEVER,
                built_by=lot.index,
                proof=family.proof_pulls,
            )
        )
        return tool

    def prove(self, lots: list[Lot], proof: Callable[[str, str, int, int, int], Lot]) -> None:
        """Add the pulls that prove moulds: of those at hand as many as there are pulls for.

        A mould at hand that is not proved is not used.

        Args:
            lots: Every lot.
            proof: Adds the pulls that prove a mould: part, process, cavities, pulls, mould.
        """
        wanted: dict[tuple[int, ...], int] = {}
        for lot in lots:
            if lot.tools:
                wanted[lot.tools] = wanted.get(lot.tools, 0) + lot.units
        for tools, pulls in wanted.items():
            unproved = [t for t in tools if self.tools[t].proof]
            made = sum(1 for t in unproved if self.tools[t].built_by >= 0)
            some = max(pulls - (len(tools) - len(unproved)) - made, 0)
            for t in unproved:
                tool, family = self.tools[t], self.families[self.tools[t].family]
                if tool.built_by < 0 and some <= 0:
                    self.tools[t] = replace(tool, life_left=0)
                    continue
                some -= tool.built_by < 0
                lot = proof(family.part, family.process, family.cavities, tool.proof, t)
                self.tools[t] = replace(tool, proved_by=lot.index)


def serving(shop: Shop, part: str, process: str) -> tuple[MouldFamily, ...]:
    """Return the families that serve together: those that yield alike from a pull.

    The first family that has a mould, or can have one made, sets the cavities.
    """
    usable = [f for f in shop.families(part, process) if f.moulds or f.made_by]
    return tuple(f for f in usable if f.cavities == usable[0].cavities)
