"""How many moulds an order wants: the count that meets its date at the least cost, and the curve.

Counts are planned from one up, with everything else that is booked, until more help no
more. New moulds cost what one costs, and are made in the plan where the shop makes its own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

from mouldwright.domain.costing.labour import hour_cost_of
from mouldwright.domain.errors import Fault, HardLimit, InvalidInput, NotFound
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.shop import Shop
from mouldwright.planning.gains import CountTried, MouldCount
from mouldwright.planning.more.changes import mould_cost, usable_moulds, with_moulds
from mouldwright.planning.more.trials import Asked, Effort, Trial, try_all
from mouldwright.planning.plan import Task

# Counts in a row that bring nothing sooner before no more are tried.
NO_HELP = 2
# Sooner by less than this is luck of the search and no help, minutes.
LEAST_HELP_MIN = 15
# No bench of five people keeps more moulds of one part going.
MOST_MOULDS = 24


def mould_count(
    shop: Shop,
    order: str,
    *,
    now: int,
    effort: Effort,
    most: int | None = None,
    running: Sequence[Task] = (),
    pinned: Sequence[Task] = (),
    progress: Callable[[int, int, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> MouldCount:
    """Return how many moulds an order wants.

    Args:
        shop: With the order and all others.
        order: Its number.
        now: Minutes since the epoch.
        effort: How hard each count is tried.
        most: Try no more moulds than this; None until more do not help.
        running: Tasks under way.
        pinned: Tasks that stay where they are.
        progress: Told how many counts are done, of how many at most, and which was last.
        cancelled: True ends with the counts tried so far.

    Raises:
        NotFound: if there is no such order.
        InvalidInput: if it is pulled from no mould, or from several families.
        HardLimit: if no count allows a plan; with the reasons of the last.
    """
    family = _family(shop, order)
    outcome_due = None
    at_hand = usable_moulds(family)
    cost = mould_cost(shop, family)
    limit = min(most or MOST_MOULDS, MOST_MOULDS)
    counts: list[CountTried] = []
    refused: tuple[str, ...] = ()
    stops = f"no more than {limit} were to be tried"
    # A few at a time, side by side; never past the point where more do not help.
    step = 4 if effort.processes is None or effort.processes > 1 else 1
    for first in range(1, limit + 1, step):
        batch = range(first, min(first + step, limit + 1))
        asked = [
            Asked(
                key=str(count),
                shop=with_moulds(shop, family, count),
                now=now,
                running=tuple(running),
                pinned=tuple(pinned),
            )
            for count in batch
        ]
        trials = try_all(asked, shop, effort, cancelled=cancelled)
        for key, trial in trials.items():
            if trial.refused:
                refused = trial.refused
                continue
            counts.append(_tried(shop, order, int(key), at_hand, cost, trial))
            outcome_due = next(o.due for o in trial.orders if o.number == order)
            if progress is not None:
                progress(int(key), limit, f"{key} moulds")
        counts = _falling(counts)
        if cancelled is not None and cancelled():
            stops = "it was stopped"
            break
        if _no_more_help(counts):
            counts = counts[: _last_that_helps(counts) + NO_HELP]
            stops = "more did not bring it sooner"
            break
    if not counts:
        raise HardLimit(list(refused) or ["no count of moulds could be planned"])
    counts = _alike_in_hands(counts)
    advised, meets = _advised(counts, outcome_due)
    return MouldCount(
        order=order,
        family=family.key,
        at_hand=at_hand,
        by=outcome_due,
        counts=tuple(counts),
        advised=advised,
        meets=meets,
        stops=stops,
        now=now,
        zone=shop.zone,
    )


def _family(shop: Shop, number: str) -> MouldFamily:
    """Return the one family an order is pulled from."""
    order = next((o for o in shop.orders if o.number == number), None)
    if order is None:
        raise NotFound(kind="order", key=number, known=[o.number for o in shop.orders])
    families = shop.families(order.part, order.process) if order.process else ()
    if len(families) != 1 or not shop.process(families[0].process).uses_mould:
        what = "that is a set" if order.part in shop.sets else "it is pulled from no one mould"
        raise InvalidInput(
            [
                Fault(
                    path="order",
                    value=number,
                    problem=f"{what}, so there is no count of moulds to choose.",
                    remedy="Ask for an order of one part that is pulled from moulds of one kind.",
                )
            ]
        )
    return families[0]


def _tried(
    shop: Shop, order: str, count: int, at_hand: int, cost: Fraction | None, trial: Trial
) -> CountTried:
    weights = {o.number: o.weight for o in shop.orders}
    own = next(o for o in trial.orders if o.number == order)
    new = max(count - at_hand, 0)
    others = sum(weights.get(o.number, 1) * o.late_min for o in trial.orders if o.number != order)
    work = sum(
        (
            hour_cost_of(shop.people[person], shop) * minutes / 60
            for person, minutes in trial.worked_min.items()
            if person in shop.people
        ),
        Fraction(0),
    )
    return CountTried(
        moulds=count,
        new=new,
        finish=own.finish,
        late_min=own.late_min,
        others_late_min=others,
        tooling=Fraction(0) if not new else None if cost is None else new * cost,
        work=work,
    )


def _falling(counts: Sequence[CountTried]) -> list[CountTried]:
    """Return the counts with no more moulds ever later: one need not use them all."""
    found: list[CountTried] = []
    for tried in sorted(counts, key=lambda c: c.moulds):
        before = found[-1] if found else None
        if before is not None and (before.late_min, before.finish) < (
            tried.late_min,
            tried.finish,
        ):
            tried = CountTried(
                moulds=tried.moulds,
                new=tried.new,
                finish=before.finish,
                late_min=before.late_min,
                others_late_min=before.others_late_min,
                tooling=tried.tooling,
                work=before.work,
            )
        found.append(tried)
    return found


def _last_that_helps(counts: Sequence[CountTried]) -> int:
    """Return how many counts there are up to the first that is as soon as any, or nearly."""
    soonest = min(tried.finish for tried in counts) + LEAST_HELP_MIN
    return next(i for i, tried in enumerate(counts) if tried.finish <= soonest) + 1


def _no_more_help(counts: Sequence[CountTried]) -> bool:
    return bool(counts) and len(counts) - _last_that_helps(counts) >= NO_HELP


def _alike_in_hands(counts: Sequence[CountTried]) -> list[CountTried]:
    """Return the counts with the hands that the work takes, whichever count it is done with.

    It is the same work. What the hands of two plans differ by is how their searches happened to
    put it together, so the least that any of them took counts for all.
    """
    work = min(tried.work for tried in counts)
    return [replace(tried, work=work) for tried in counts]


def _advised(counts: Sequence[CountTried], due: int | None) -> tuple[int, bool | None]:
    meeting = [tried for tried in counts if due is None or tried.finish <= due]
    if not meeting:
        return _fewest_soonest(counts), False

    def dear(tried: CountTried) -> tuple[bool, Fraction]:
        return tried.cost is None, tried.cost or Fraction(0)

    # Moulds at hand cost nothing more, however many of them are taken.
    least = min(map(dear, meeting))
    alike = [tried for tried in meeting if dear(tried) == least]
    return _fewest_soonest(alike), None if due is None else True


def _fewest_soonest(counts: Sequence[CountTried]) -> int:
    """Return the fewest moulds that are as soon as any of these, or nearly."""
    soonest = min(tried.finish for tried in counts) + LEAST_HELP_MIN
    return min(tried.moulds for tried in counts if tried.finish <= soonest)
