"""Labour, conditioning, consumables, packaging and overhead, as line rules."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from mouldwright.domain.costing.labour import mean_hour_cost
from mouldwright.domain.costing.lines import LineRule, merged
from mouldwright.domain.costing.occurrence import Routing, scaled
from mouldwright.domain.costing.session_cost import SessionNeed
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Shop


def labour_rules(shop: Shop, routing: Routing) -> list[LineRule]:
    """Return a line rule for every attended operation, in person-hours at the mean rate."""
    return [
        LineRule(
            kind="labour",
            text=_of_share(operation),
            unit="h",
            rate=mean_hour_cost(shop, operation.skill),
            takes=scaled(routing.worked_minutes(place), Fraction(operation.people, 60)),
            moves_with="wages",
            unknown=_nobody(operation),
        )
        for place, operation in enumerate(routing.process.operations)
        if operation.attended
    ]


def conditioning_rule(shop: Shop, routing: Routing) -> LineRule | None:
    """Return the line rule of the mould's upkeep, None where the process states none.

    The count "conditionings" is the exact share pulls / conditioned_every_pulls, or the
    coats of wax due on new moulds, each coat taking the operation's minutes once.
    """
    operation = routing.process.conditioning
    if operation is None:
        return None
    minutes = exact(operation.fixed_min) + exact(operation.each_min)
    hours = minutes * operation.people / 60 if operation.attended else Fraction(0)
    return LineRule(
        kind="conditioning",
        text=operation.name,
        unit="h",
        rate=mean_hour_cost(shop, operation.skill),
        takes={"conditionings": hours},
        moves_with="wages",
        unknown=_nobody(operation),
    )


def conditionings(family: MouldFamily | None, pulls: int) -> Fraction:
    """Return how often moulds are conditioned over so many pulls.

    Coats are counted as on new moulds used up one after another: 8 pulls of a mould that
    takes 4, 2, 1 coats and then one every fifth take 4 + 2 + 1 + 0 + 0 + 0 + 0 + 1 = 8.
    """
    if family is None:
        return Fraction(0)
    if family.coats or family.coats_every:
        whole, rest = divmod(pulls, family.life_pulls) if family.life_pulls else (0, pulls)
        return Fraction(
            whole * coats_over(family, family.life_pulls or 0) + coats_over(family, rest)
        )
    if family.conditioned_every_pulls:
        return Fraction(pulls, family.conditioned_every_pulls)
    return Fraction(0)


def coats_over(family: MouldFamily, pulls: int) -> int:
    """Return the coats of wax that the first pulls of a new mould take."""
    coats = sum(family.coats[:pulls])
    if family.coats_every and pulls > len(family.coats):
        coats += (pulls - len(family.coats)) // family.coats_every
    return coats


def consumable_rules(routing: Routing, needs: Sequence[SessionNeed] = ()) -> list[LineRule]:
    """Return a line rule for every consumable.

    One by batch follows the first batches formed, one by session every session of the process.
    """
    names = {
        "order": "order",
        "pull": "pulls" if routing.process.has_pulls else "starts",
        "part": "starts",
        "batch": "batches 0" if routing.batchings else "order",
    }
    parts = "starts" if not routing.process.has_pulls else "pulls"
    reworked = [
        LineRule(
            kind="consumables",
            text=f"used up by {rework.name}",
            unit="round",
            rate=exact(rework.cost_each),
            takes={parts if rework.by_pulls else "starts": rework.rounds_each},
            moves_with=f"the cost of {rework.name}",
        )
        for rework in routing.process.reworks
        if rework.cost_each
    ]
    return reworked + [
        LineRule(
            kind="consumables",
            text=consumable.name,
            unit=consumable.per,
            rate=exact(consumable.cost),
            takes={need.count: Fraction(1) for need in needs}
            if consumable.per == "session"
            else {names[consumable.per]: Fraction(1)},
            moves_with=f"the cost of {consumable.name}",
        )
        for consumable in routing.process.consumables
    ]


def packaging_rule(shop: Shop) -> LineRule:
    """Return the line rule of packaging: good parts alone are packed."""
    return LineRule(
        kind="packaging",
        text="packaging",
        unit="part",
        rate=exact(shop.packaging_per_part),
        takes={"good": Fraction(1)},
        moves_with="the cost of packaging",
    )


def overhead_rule(shop: Shop, worked: list[LineRule]) -> LineRule:
    """Return the line rule of overhead, charged on every attended person-hour."""
    return LineRule(
        kind="overhead",
        text="overhead on attended hours",
        unit="h",
        rate=exact(shop.overhead_per_hour),
        takes=merged(rule.takes for rule in worked),
        moves_with="overhead",
    )


def _of_share(operation: Operation) -> str:
    """Return an operation's name, with the share of parts it is done to."""
    if operation.is_for_all:
        return operation.name
    percent = 100 * exact(operation.applies_to_share)
    return f"{operation.name}, {float(percent):.3g} % of parts"


def _nobody(operation: Operation) -> str:
    who = f'with the skill "{operation.skill}"' if operation.skill else "at the bench"
    return f"{operation.name} has no hourly cost: there is nobody {who}"
