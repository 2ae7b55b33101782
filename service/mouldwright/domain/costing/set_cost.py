"""What an order for sets costs: its parts, its bought-in items, and the work on the set itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import prod

from mouldwright.domain.costing.cost_model import WHOLE_PACKS, CostModel, cost_model, packs_line
from mouldwright.domain.costing.labour import mean_hour_cost
from mouldwright.domain.costing.lines import CostLine, shown
from mouldwright.domain.costing.matching import MatchedGood, matched_good
from mouldwright.domain.costing.material_cost import beyond_use, needs, packs_bought
from mouldwright.domain.costing.material_price import material_prices
from mouldwright.domain.costing.outcomes import Seconds
from mouldwright.domain.costing.session_cost import needs_of, session_rules
from mouldwright.domain.costing.unit_cost import UnitCost, cost_of
from mouldwright.domain.order import PartSet
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Outbound, Shop


def set_cost(
    shop: Shop, sold: PartSet, quantity: int, *, charges: Mapping[tuple[str, str], Charge | None]
) -> UnitCost:
    """Return what ``quantity`` sets cost; a good part of the answer is a whole set.

    Each part is begun often enough for its own count of good ones at the shop's service
    level; the chance of enough whole sets is the product over the parts, which is lower
    and is what is reported.

    Args:
        shop: Prices, people and policies.
        sold: The set.
        quantity: Whole sets wanted.
        charges: What is loaded for one of each part, by part and process; None where a process
            has no structure, and then no material is charged.

    Raises:
        InvalidInput: if the quantity or a rate cannot be right.
        HardLimit: if a single pull passes a limit of a mix, a plate or a load.
    """
    # Sets are sent whole: what that costs is counted once, for the set.
    unsent = replace(shop, outbound=Outbound())
    models = [
        cost_model(
            unsent,
            shop.part(each.part),
            shop.process(each.process),
            charge=charges[each.part, each.process],
        )
        for each in sold.parts
    ]
    matched = matched_good(shop, sold, quantity)
    wanted = [matched.worth * each.count for each in sold.parts]
    costs = [cost_of(model, pieces) for model, pieces in zip(models, wanted, strict=True)]
    # A pack opened for one part serves the others: packs are counted once for the order.
    drawn = _drawn(models, wanted)
    prices = material_prices(shop)
    beyond = beyond_use(drawn, prices)
    lines = [
        replace(line, text=f"{cost.part}: {line.text}")
        for cost in costs
        for line in cost.lines
        if line.moves_with != WHOLE_PACKS and line.kind != "outbound"
    ]
    lines.append(packs_line(beyond if shop.materials_charged == "bought" else Fraction(0)))
    lines.extend(_item_lines(sold, quantity))
    own, hours = _work_lines(shop, sold, quantity)
    lines.extend(own)
    sent = quantity * sum(each.count for each in sold.parts)
    lines.extend(_outbound_lines(shop, lines, sent))
    whole = all(line.amount is not None for line in lines)
    total = sum((line.amount or Fraction(0) for line in lines), Fraction(0)) if whole else None
    unknown = [reason for cost in costs for reason in cost.unknown]
    unknown += [f"{line.text} has no known rate" for line in own if line.amount is None]
    saved = sum(((cost.scrap_share or 0) * (cost.total or 0) for cost in costs), Fraction(0))
    used = _summed([cost.materials_used for cost in costs])
    return UnitCost(
        part=sold.key,
        process="",
        quantity=quantity,
        lines=tuple(lines),
        total=total,
        unknown=tuple(dict.fromkeys(unknown)),
        cautions=(
            *dict.fromkeys(c for cost in costs for c in cost.cautions),
            *_left_words(sold, matched),
        ),
        starts=sum(cost.starts for cost in costs),
        pulls=sum(cost.pulls for cost in costs),
        moulds_used=sum(cost.moulds_used for cost in costs),
        moulds_at_hand=sum(cost.moulds_at_hand for cost in costs),
        new_moulds=sum(cost.new_moulds for cost in costs),
        spare_parts=sum((cost.spare_parts for cost in costs), Fraction(0)),
        chance=prod(cost.chance for cost in costs) * matched.chance,
        people_hours=sum((cost.people_hours for cost in costs), shown(hours)),
        scrap_share=saved / total if total else None,
        mixes=tuple(mix for cost in costs for mix in cost.mixes),
        packs=packs_bought(drawn, prices),
        materials_used=used,
        materials_bought=None if used is None else used + beyond,
        seconds=_seconds(shop, sold, matched, costs),
    )


def _seconds(
    shop: Shop, sold: PartSet, matched: MatchedGood, costs: Sequence[UnitCost]
) -> Seconds | None:
    """Return the parts sold as seconds: those that came out so, and those left unmatched."""
    left = matched.worth - matched.sets
    expected, brought = Fraction(0), Fraction(0)
    priced = True
    for each, cost in zip(sold.parts, costs, strict=True):
        pieces = (cost.seconds.expected if cost.seconds else Fraction(0)) + left * each.count
        price = shop.part(each.part).second_price
        expected += pieces
        if pieces and price is None:
            priced = False
        brought += pieces * Fraction(price or 0)
    if not expected:
        return None
    return Seconds(expected=expected, price_each=None, brought=brought if priced else None)


def _left_words(sold: PartSet, matched: MatchedGood) -> tuple[str, ...]:
    """Say how many good parts a match takes, and what is left of them."""
    match = sold.match
    if match is None:
        return ()
    said = (
        f"{matched.worth} sets' worth of good parts are made so that {matched.sets} sets match in "
        f"{match.on} within {match.window * 100:f} % (parts scatter by {match.spread * 100:f} %): "
        f"a chance of {matched.chance * 100:.0f} in 100"
    )
    left = (matched.worth - matched.sets) * sum(each.count for each in sold.parts)
    if not left:
        return (f"{said}.",)
    return (f"{said}; {left} good parts are left over, in no line of the cost but their own.",)


def _drawn(models: Sequence[CostModel], wanted: Sequence[int]) -> dict[tuple[str, str], Fraction]:
    """Return what all parts together draw from stock by (material, "g" or "m")."""
    whole: dict[tuple[str, str], Fraction] = {}
    for model, pieces in zip(models, wanted, strict=True):
        for key, amount in needs(model.rules, model.counts(model.starts(pieces))).items():
            whole[key] = whole.get(key, Fraction(0)) + amount
    return whole


def _outbound_lines(shop: Shop, others: Sequence[CostLine], pieces: int) -> list[CostLine]:
    """Return what sending the sets costs, and returns as a share of all that is known besides."""
    sent, currency = shop.outbound, shop.currency.code
    freight = [
        ("freight of the order", Fraction(1), "order", exact(sent.per_order), "freight"),
        ("freight of a part", Fraction(pieces), "part", exact(sent.per_part), "freight"),
    ]
    lines = [_sent(*each) for each in freight if each[3]]
    if sent.returns_share:
        known = sum((line.amount or Fraction(0) for line in (*others, *lines)), Fraction(0))
        share = exact(sent.returns_share)
        text = "returns and repairs, on all other cost"
        lines.append(_sent(text, known, currency, share, "returns"))
    return lines or [_sent("no freight or returns stated", Fraction(0), "", Fraction(0), "")]


def _sent(text: str, quantity: Fraction, unit: str, rate: Fraction, moves_with: str) -> CostLine:
    return CostLine(
        kind="outbound",
        text=text,
        quantity=shown(quantity),
        unit=unit,
        rate=shown(rate),
        amount=quantity * rate,
        moves_with=moves_with,
    )


def _summed(amounts: list[Fraction | None]) -> Fraction | None:
    known = [amount for amount in amounts if amount is not None]
    return sum(known, Fraction(0)) if len(known) == len(amounts) else None


def _item_lines(sold: PartSet, quantity: int) -> list[CostLine]:
    lines = []
    for item in sold.items:
        count = Fraction(item.count * quantity)
        lines.append(
            CostLine(
                kind="consumables",
                text=f"bought in: {item.name}",
                quantity=shown(count),
                unit="piece",
                rate=item.cost,
                amount=count * exact(item.cost),
                moves_with=f"the cost of {item.name}",
            )
        )
    return lines


def _work_lines(shop: Shop, sold: PartSet, quantity: int) -> tuple[list[CostLine], Fraction]:
    """Return the labour and overhead lines of the set's own operations, and their hours."""
    lines = []
    hours = Fraction(0)
    for operation in sold.operations:
        if not operation.attended:
            continue
        worked = _minutes(operation, quantity) * operation.people / 60
        rate = mean_hour_cost(shop, operation.skill)
        hours += worked
        lines.append(
            CostLine(
                kind="labour",
                text=f"{sold.key}: {operation.name}",
                quantity=shown(worked),
                unit="h",
                rate=None if rate is None else shown(rate),
                amount=None if rate is None else worked * rate,
                moves_with="wages",
            )
        )
    for line, worked in _session_lines(shop, sold, quantity):
        lines.append(line)
        hours += worked
    lines.append(
        CostLine(
            kind="overhead",
            text=f"{sold.key}: overhead on attended hours",
            quantity=shown(hours),
            unit="h",
            rate=shop.overhead_per_hour,
            amount=hours * exact(shop.overhead_per_hour),
            moves_with="overhead",
        )
    )
    return lines, hours


def _session_lines(shop: Shop, sold: PartSet, quantity: int) -> list[tuple[CostLine, Fraction]]:
    """Return the lines of going in and coming out for the set's own work, with their hours."""
    worked = [(o, {"sets": _minutes(o, quantity)}) for o in sold.operations]
    needs = needs_of(shop, worked)
    counts = {"sets": Fraction(1)}
    counts |= {need.count: need.sessions(counts) for need in needs}
    return [
        (replace(rule.line(counts), text=f"{sold.key}: {rule.text}"), rule.quantity(counts))
        for rule in session_rules(shop, needs)
    ]


def _minutes(operation: Operation, quantity: int) -> Fraction:
    """Return an operation's minutes for so many sets; a part, here, is one set."""
    each = exact(operation.each_min)
    if operation.per == "order":
        return exact(operation.fixed_min) + each * quantity
    return (exact(operation.fixed_min) + each) * quantity
