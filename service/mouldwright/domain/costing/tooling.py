"""What moulds cost an order: by their life, or whole moulds made for the order."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Literal

from mouldwright.domain.costing.lines import LineRule
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.quantity import divide_up
from mouldwright.domain.shop import Shop

NEW_MOULDS = "new moulds"


# Without slots, so that what many quantities ask for is remembered.
@dataclass(frozen=True, kw_only=True)
class Tooling:
    """The moulds that serve one part and process, with what one costs.

    Attributes:
        family: None where the process holds no mould, or none is defined.
        lives_left: Pulls left in each usable mould, most first; None never wears.
        cost: A new mould, None where it is unknown.
        unknown: Why it is.
    """

    family: MouldFamily | None
    lives_left: tuple[int | None, ...]
    cost: Fraction | None
    unknown: str = ""

    @property
    def at_hand(self) -> int:
        """Return the moulds that can still be used."""
        return len(self.lives_left)

    @property
    def cavities(self) -> int:
        """Return parts from one pull, 1 without a mould."""
        return self.family.cavities if self.family else 1

    def new_for(self, pulls: int) -> int:
        """Return whole moulds needed beyond those at hand for so many pulls."""
        if self.family is None:
            return 0
        life, left = self._lasting
        if life is None:
            return 0 if self.lives_left or not pulls else 1
        return divide_up(max(pulls - left, Fraction(0)), life)

    @cached_property
    def _lasting(self) -> tuple[Fraction | None, Fraction]:
        """Return the mean pulls of a new mould (None: no end), and of those at hand together."""
        if self.family is None:
            return None, Fraction(0)
        lasts = [self.family.mean_pulls(lives) for lives in self.lives_left]
        left = sum((lives for lives in lasts if lives is not None), Fraction(0))
        return self.family.mean_sold, left

    def used_for(self, pulls: int) -> int:
        """Return the fewest moulds that so many pulls wear, new ones included."""
        if self.family is None or not pulls:
            return 0
        left, used = pulls, 0
        for lives in self.lives_left:
            if left <= 0:
                break
            used += 1
            left = 0 if lives is None else left - lives
        return used + self.new_for(pulls)


def tooling_for(shop: Shop, part: str, process: str) -> MouldFamily | None:
    """Return the mould family used: the first that has a usable mould, else the first."""
    families = shop.families(part, process)
    usable = [f for f in families if any(f.pulls_left(m) != 0 for m in f.moulds)]
    return next(iter(usable or families), None)


def lives_left(family: MouldFamily | None) -> tuple[int | None, ...]:
    """Return the pulls left in every usable mould of a family after its proof, most first."""
    if family is None:
        return ()
    lives = [
        None if (left := family.pulls_left(m)) is None else max(left - family.proof_left(m), 0)
        for m in family.moulds
    ]
    usable = [life for life in lives if life != 0]
    return tuple(sorted(usable, key=lambda life: (life is not None, -(life or 0))))


def tooling_rule(tooling: Tooling, policy: Literal["by life", "to the order"]) -> LineRule | None:
    """Return the line rule of moulds, None where the process has none.

    By life a pull costs cost / life, so a part costs cost / (life x cavities); a mould that may
    be lost has the mean of its pulls for a life, and what proves it is part of its cost. Where
    the pulls of all orders to come are stated, they bear the whole moulds they take. To the
    order, whole moulds beyond those at hand are charged.
    """
    family = tooling.family
    if family is None:
        return None
    if policy == "to the order":
        return LineRule(
            kind="tooling",
            text=f"{family.key}, moulds made for the order",
            unit="mould",
            rate=tooling.cost,
            takes={NEW_MOULDS: Fraction(1)},
            moves_with="the cost of moulds",
            unknown=tooling.unknown,
        )
    rate = None if tooling.cost is None else tooling.cost * family.cost_share
    over = "the life of a mould" if family.expected_pulls is None else "the pulls expected"
    return LineRule(
        kind="tooling",
        text=f"{family.key}, by {over}",
        unit="pull",
        rate=rate,
        takes={"pulls": Fraction(1)},
        moves_with="the cost of moulds",
        unknown=tooling.unknown,
    )
