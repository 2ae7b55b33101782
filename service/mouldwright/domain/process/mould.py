"""Moulds: families that serve one part and process, and each tool's own count."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.quantity import divide_up, exact


@dataclass(frozen=True, slots=True, kw_only=True)
class Mould:
    """One physical tool.

    Attributes:
        number: As marked on it, from 1 where the scenario only counts.
        pulls: Taken from it so far.
        pulls_since_conditioning: Taken since it was last conditioned.
        is_out: Whether it is lost or retired; no shop states it, it is read from its log.
    """

    number: str
    pulls: int = 0
    pulls_since_conditioning: int = 0
    is_out: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldFamily:
    """The moulds that serve one part and process.

    Attributes:
        cavities: Parts from one pull.
        life_pulls: Pulls until an insert is retired; None where it does not wear.
        expected_pulls: Pulls that all orders to come are expected to take of its moulds; None
            expects every mould to be worn out.
        conditioned_every_pulls: Pulls between conditionings.
        coats: Coats of wax by pull since new: the first entries in turn, then
            ``coats_every`` pulls one coat.
        proof_pulls: First pulls of a new mould that prove it and are not sold.
        loss_rate: Chance that a pull loses the mould, and what is in it.
        cost: A new one, where it is bought or its cost is known.
        made_by: Key of the process that builds one, where the shop does.
        lead_days: Days until a new one is there that is bought; None where that is not known.
        to_make: Moulds to be made at the least, those that wear asks for among them; no shop
            states it, only who asks what one more would buy.
        greatest_c: The hottest they may get; None where that is not stated.
        title: As people read it; empty where it follows from part and process.
    """

    key: str
    part: str
    process: str
    moulds: tuple[Mould, ...]
    cavities: int = 1
    life_pulls: int | None = None
    expected_pulls: int | None = None
    conditioned_every_pulls: int | None = None
    coats: tuple[int, ...] = ()
    coats_every: int | None = None
    proof_pulls: int = 0
    loss_rate: Decimal = Decimal(0)
    cost: Decimal | None = None
    made_by: str | None = None
    lead_days: int | None = None
    to_make: int = 0
    greatest_c: Decimal | None = None
    title: str = ""

    def name(self, mould: Mould) -> str:
        """Return the mould's name as plans show it: family key and number."""
        return f"{self.key} {mould.number}"

    def proof_left(self, mould: Mould) -> int:
        """Return the pulls that a mould still has to prove itself by."""
        return max(self.proof_pulls - mould.pulls, 0)

    def mean_pulls(self, left: int | None) -> Fraction | None:
        """Return the mean pulls of a mould with so many left, the one that loses it included.

        With a chance p of loss at each pull, 1 + (1 - p) + (1 - p)^2 and so on, over the pulls
        left: (1 - (1 - p)^left) / p, to nine decimals. None where it neither wears nor is lost.
        """
        if not self.loss_rate:
            return None if left is None else Fraction(left)
        chance = exact(self.loss_rate)
        if left is None:
            return 1 / chance
        return exact(round(float(1 - (1 - chance) ** left) / float(chance), 9))

    @property
    def mean_sold(self) -> Fraction | None:
        """Return the mean pulls of a new mould after its proof; None without an end.

        A mould may be lost while it is proved: (1 - p)^proof of them come through.
        """
        life = None if self.life_pulls is None else self.life_pulls - self.proof_pulls
        mean = self.mean_pulls(life)
        return None if mean is None else mean * (1 - exact(self.loss_rate)) ** self.proof_pulls

    @property
    def cost_share(self) -> Fraction:
        """Return what part of a mould's cost each sold pull bears; 0 where it never ends.

        Where fewer pulls are expected than the moulds they take would last, those that are bear
        the whole moulds: 40 expected of moulds of 30 bear two, 2 / 40 each.
        """
        mean, expected = self.mean_sold, self.expected_pulls
        if expected is not None:
            return Fraction(1 if mean is None else divide_up(expected, mean), expected)
        return 1 / mean if mean else Fraction(0)

    def stands(self, hottest_c: Decimal | None) -> bool:
        """Return whether its moulds may get so hot; None is no heat at all."""
        return hottest_c is None or self.greatest_c is None or hottest_c <= self.greatest_c

    def pulls_left(self, mould: Mould) -> int | None:
        """Return pulls until retirement, 0 once it is out, None where it does not wear."""
        if mould.is_out:
            return 0
        return None if self.life_pulls is None else max(self.life_pulls - mould.pulls, 0)

    def coats_at(self, pull: int) -> int:
        """Return the coats of wax due before the pull of that number, from 1 on a new mould.

        4, 2, 1 and then one every fifth pull is ``coats=(4, 2, 1), coats_every=5``.
        """
        if pull <= len(self.coats):
            return self.coats[pull - 1]
        if self.coats_every is None:
            return 0
        return 1 if (pull - len(self.coats)) % self.coats_every == 0 else 0
