"""Why an order is late, and what could be done about it, each with its cost and its gain."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from mouldwright.domain.shop import Shop
from mouldwright.planning.explain import Explainer
from mouldwright.planning.gains import Gain, LateOption, LateOrder
from mouldwright.planning.plan import OrderOutcome, Plan

# More ways than this are no help to choose.
MOST_OPTIONS = 6


def late_orders(shop: Shop, plan: Plan, gains: Sequence[Gain]) -> tuple[LateOrder, ...]:
    """Return every late order of a plan with its reason and its options, the latest first.

    Args:
        shop: As it is.
        plan: Of that shop.
        gains: What changes of it would buy beside that plan.
    """
    late = sorted((o for o in plan.orders if o.late_min), key=lambda o: -o.late_min)
    if not late:
        return ()
    explainer = Explainer(shop, plan)
    return tuple(
        LateOrder(
            number=outcome.number,
            late_min=outcome.late_min,
            because=explainer.because(outcome.number),
            options=_best((*_from_gains(outcome, gains), *_split(plan, outcome))),
        )
        for outcome in late
    )


def _best(options: Iterable[LateOption]) -> tuple[LateOption, ...]:
    ranked = sorted(options, key=lambda o: (o.late_min, o.cost is None, o.cost or 0, o.title))
    return tuple(ranked[:MOST_OPTIONS])


def _from_gains(outcome: OrderOutcome, gains: Sequence[Gain]) -> Iterator[LateOption]:
    for gain in gains:
        for shift in gain.orders:
            if shift.number == outcome.number and shift.late_after_min < shift.late_before_min:
                yield LateOption(
                    title=gain.title,
                    sooner_min=shift.before - shift.after,
                    late_min=shift.late_after_min,
                    cost=gain.cost,
                    used_min=gain.used_min,
                )


def _split(plan: Plan, outcome: OrderOutcome) -> Iterator[LateOption]:
    """Yield sending what is ready by the date, and the rest when the order is."""
    ready, of, what = ready_in_time(plan, outcome)
    if 0 < ready < of:
        yield LateOption(
            title=f"split delivery: {ready} of the {of} {what} are ready by the date, "
            f"{of - ready} follow",
            sooner_min=0,
            late_min=outcome.late_min,
            cost=Fraction(0),
        )


def ready_in_time(plan: Plan, outcome: OrderOutcome) -> tuple[int, int, str]:
    """Return how much of an order is ready by its date as planned, of how much, and of what.

    Nothing of nothing where it has no date, or is never worked on piece by piece.
    """
    if outcome.due is None:
        return 0, 0, "pulls"
    parts: dict[int, int] = {}
    pulls: dict[int, int] = {}
    for task in plan.tasks:
        for member in task.members:
            if member.order != outcome.number:
                continue
            ids, last = (pulls, member.pulls) if not member.parts else (parts, member.parts)
            if len(last) == 1:
                ids[last[0]] = max(ids.get(last[0], 0), task.end)
    # Where parts are worked on singly each is ready by itself, else a pull is.
    ends, what = (parts, "begun") if parts else (pulls, "pulls")
    return sum(1 for end in ends.values() if end <= outcome.due), len(ends), what
