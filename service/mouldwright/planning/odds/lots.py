"""What the odds need to know of a lot: how many good parts are wanted, and what loses them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.scrap import GoodRates, good_rates
from mouldwright.domain.estimate import Estimate
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import Exact
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import ORDER, Routing


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """A step that not every part passes.

    Attributes:
        rate: Chance that a member passes.
        by_pull: Whether a pull passes or fails as a whole.
        share: Share of members it is done to; the others pass it by.
        estimate: Of the rate, where it is not known.
    """

    step: int
    rate: float
    by_pull: bool
    share: float = 1.0
    estimate: Estimate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotFacts:
    """One lot.

    Attributes:
        needed: Good parts wanted of it; 0 where all that is begun must be done.
        losses: Steps that not every part passes, in order.
        rates: The same as two chances.
        ends: Steps that nothing in the lot follows.
        late: Steps that wait until enough parts are good, and what follows them.
        waits_for: Lots of parts that must be there first.
    """

    lot: Lot
    needed: int
    losses: tuple[Loss, ...]
    rates: GoodRates
    ends: tuple[int, ...]
    late: frozenset[int]
    waits_for: tuple[int, ...] = ()


def facts_of(problem: Problem) -> list[LotFacts]:
    """Return what is known of every lot of a problem."""
    wanted = _wanted(problem)
    found = []
    for lot in problem.lots:
        routing = problem.routings[lot.routing]
        needed = wanted.get(lot.index, 0)
        # The work on sets, and the building of a mould, is taken as passing.
        losses: tuple[Loss, ...] = ()
        rates = GoodRates(part=Fraction(1))
        if not lot.after_lots and lot.order >= 0:
            process = problem.shop.process(routing.key)
            losses = _losses(problem, lot, process)
            rates = good_rates(process, _mould_loss(problem, lot))
        followed = {p for step in routing.steps for p in step.preds}
        late = _late(routing, losses)
        if lot.after_lots:
            late = frozenset(range(len(routing.steps)))
        found.append(
            LotFacts(
                lot=lot,
                needed=needed,
                losses=losses,
                rates=rates,
                ends=tuple(s.index for s in routing.steps if s.index not in followed),
                late=late,
                waits_for=lot.after_lots,
            )
        )
    return found


def _wanted(problem: Problem) -> dict[int, int]:
    """Return the good parts wanted of each lot of an order."""
    shop = problem.shop
    orders = {order.number: order for order in shop.orders}
    found: dict[int, int] = {}
    for demand in problem.demands:
        order = orders.get(demand.number)
        if order is None:
            continue
        sold = shop.sets.get(order.part)
        wanted = (order.quantity,) if sold is None else good_pieces(shop, sold, order.quantity)
        for lot, pieces in zip(demand.lots, wanted, strict=False):
            begun = problem.lots[lot].living - len(problem.lots[lot].seconds)
            # Where fewer are begun than wanted, all that are begun must be good.
            found[lot] = min(pieces, begun)
    return found


def _losses(problem: Problem, lot: Lot, process: Process) -> tuple[Loss, ...]:
    """Return what loses parts, in the order of the steps after which it shows."""
    routing = problem.routings[lot.routing]
    found = []
    for step in routing.steps:
        operation = step.operation
        spread = operation.good_rate_range
        known = spread is None or spread.is_certain
        # The rounds of a rework lose parts together, after the last of them.
        if operation.rework or (operation.good_rate >= 1 and known):
            continue
        estimate = None
        if spread is not None and not known:
            estimate = Estimate(
                least=float(spread.least),
                likely=float(operation.good_rate),
                most=float(spread.most),
                shape=problem.shop.odds.shape,
            )
        found.append(
            Loss(
                step=step.index,
                rate=float(operation.good_rate),
                by_pull=operation.good_rate_per == "pull" and routing.has_pulls,
                share=float(operation.applies_to_share),
                estimate=estimate,
            )
        )
    for rework in process.reworks:
        rounds = [s.index for s in routing.steps if s.operation.rework == rework.name]
        if rework.lost and rounds:
            by_pull = rework.by_pulls and routing.has_pulls
            found.append(Loss(step=max(rounds), rate=float(rework.good_rate), by_pull=by_pull))
    loss_rate = _mould_loss(problem, lot)
    held = [keep.last for keep in routing.keeps if keep.station < 0]
    if loss_rate and held:
        found.append(Loss(step=max(held), rate=1 - float(loss_rate), by_pull=True))
    return tuple(sorted(found, key=lambda loss: loss.step))


def _mould_loss(problem: Problem, lot: Lot) -> Exact:
    if not lot.tools:
        return 0
    return problem.families[problem.tools[lot.tools[0]].family].loss_rate


def _late(routing: Routing, losses: tuple[Loss, ...]) -> frozenset[int]:
    """Return the steps that wait until enough parts are good, and what follows them.

    That is work for the whole order after which no part is lost any more: packing.
    """
    last_loss = max((loss.step for loss in losses), default=-1)
    late: set[int] = set()
    for step in routing.steps:
        gathers = (
            step.level == ORDER
            and step.index > last_loss
            and any(routing.steps[p].level != ORDER for p in step.preds)
        )
        if gathers or late & set(step.preds):
            late.add(step.index)
    return frozenset(late)
