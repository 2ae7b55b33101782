"""A plan explained: what fixes each order's finish, and what everything idles for."""

from __future__ import annotations

from mouldwright.domain.errors import NotFound
from mouldwright.domain.shop import Shop
from mouldwright.planning.explaining.causes import Causes
from mouldwright.planning.explaining.chain import Chains
from mouldwright.planning.explaining.idle import standings
from mouldwright.planning.explaining.reading import PlanReader
from mouldwright.planning.explaining.uses import Uses
from mouldwright.planning.explaining.words import Words, shares
from mouldwright.planning.plan import Plan
from mouldwright.planning.reasons import Explanation, Standing

# Stretches told with a plan for each order; the whole chain is there for who asks.
MOST_CAUSES = 8
# Tasks gone through for them at most.
MOST_STEPS = 60
# Tasks looked back over to choose between causes, where only a few words are wanted.
LOOK_AHEAD = 12


class Explainer:
    """Explains one plan of a shop."""

    def __init__(self, shop: Shop, plan: Plan) -> None:
        """Read the plan; the shop must be the one it was made for, orders and all."""
        self._reader = PlanReader(shop, plan)
        self._uses = Uses(self._reader)
        self._chains = Chains(self._reader, Causes(self._reader, self._uses))
        self.words = Words(self._reader)

    def why(self, order: str) -> Explanation:
        """Return why an order is ready when it is.

        Raises:
            NotFound: if the plan has no such order.
        """
        numbers = [outcome.number for outcome in self._reader.plan.orders]
        if order not in numbers:
            raise NotFound(kind="order", key=order, known=numbers)
        chain = self._chains.of(order)
        return Explanation(
            chain=chain,
            stretches=self.words.stretches(chain),
            shares=shares(chain, self.words),
            headline=self.words.headline(chain),
        )

    def because(self, order: str) -> str:
        """Return in a clause what keeps an order longest; empty where nothing is to be done."""
        return self.words.because(self._chains.of(order))

    def binds(self) -> list[tuple[str, ...]]:
        """Return, for each order, what fixes its finish in a few words, the last cause first."""
        causes = Causes(self._reader, self._uses)
        chains = Chains(self._reader, causes, look_ahead=LOOK_AHEAD)
        return [self._binds(outcome.number, chains) for outcome in self._reader.plan.orders]

    def standings(self) -> tuple[Standing, ...]:
        """Return the use and idle time of every person, mould and station unit."""
        return standings(self._reader, self._uses, self._chains)

    def _binds(self, order: str, chains: Chains) -> tuple[str, ...]:
        if not self._reader.of_order.get(order):
            return ("everything is under way or done",)
        chain = chains.of(order, most=MOST_STEPS)
        found = self.words.binding(chain)[:MOST_CAUSES]
        waits = self._reader.materials_of(order)
        if not waits or waits in found:
            return found
        # What is short is told however far back it lies.
        return (*found[: MOST_CAUSES - 1], waits)


def binds(shop: Shop, plan: Plan) -> list[tuple[str, ...]]:
    """Return, for each order of a plan, what fixes its finish, the last cause first."""
    return Explainer(shop, plan).binds()
