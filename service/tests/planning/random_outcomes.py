"""Drawn shops with more happening to their parts: rework, work on a share of them, green parts."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from random import Random

import builders as build
from random_shops import Drawn

from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.process.rework import Rework, laid_out

_SHARES = ("0.1", "0.3", "0.5", "0.9")


def with_outcomes(rng: Random, drawn: Drawn, *, most_rounds: int = 3) -> Drawn:
    """Return the shop with reworks, shares and ages put into its processes."""
    shop = drawn.shop
    processes = {
        key: _changed(rng, process, most_rounds) for key, process in shop.processes.items()
    }
    moulds = {key: _to_prove(rng, family) for key, family in shop.moulds.items()}
    return replace(drawn, shop=replace(shop, processes=processes, moulds=moulds))


def _to_prove(rng: Random, family: MouldFamily) -> MouldFamily:
    """Return a family whose moulds are perhaps still to be proved, by few of a long life."""
    return replace(
        family,
        proof_pulls=rng.choice((0, 0, 1, 2)) if rng.random() < 0.7 else 0,
        loss_rate=rng.choice((Decimal(0), Decimal("0.03"))),
    )


def tiny_with_outcomes(rng: Random, drawn: Drawn) -> Drawn:
    """Return the same of a tiny shop, small enough that every order of its work can be tried."""
    shop = replace(
        drawn.shop,
        orders=tuple(
            replace(order, quantity=2, starts=2)
            if order.quantity > 2
            else replace(order, starts=order.quantity)
            for order in drawn.shop.orders
        ),
    )
    found = with_outcomes(rng, replace(drawn, shop=shop), most_rounds=1)
    # The search through every order of work knows no proofs.
    moulds = {key: replace(f, proof_pulls=0) for key, f in found.shop.moulds.items()}
    return replace(found, shop=replace(found.shop, moulds=moulds))


def _changed(rng: Random, process: Process, most_rounds: int) -> Process:
    singly = [o for o in process.operations if o.per == "part"]
    operations = process.operations
    if singly and rng.random() < 0.5:
        chosen = rng.choice(singly)
        share = Decimal(rng.choice(_SHARES))
        operations = _with(operations, replace(chosen, applies_to_share=share))
    serial = replace(process, operations=operations).serial_place
    aged = [o for o in operations[(serial if serial is not None else 99) + 1 :] if o.attended]
    if aged and rng.random() < 0.5 and aged[-1].is_for_all:
        age = Decimal(rng.choice((1, 7, 26)))
        operations = _with(operations, replace(aged[-1], least_age_h=age))
    # Found at the last work on single parts (or pulls), before what is done for the order.
    found = [o for o in operations if o.per in ("part", "pull", "batch")]
    reworks: tuple[Rework, ...] = ()
    if found and rng.random() < 0.7 and found[-1].wait_max_min is None:
        reworks = (_rework(rng, found[-1], most_rounds),)
    return replace(process, operations=laid_out(operations, reworks), reworks=reworks)


def _with(operations: tuple[Operation, ...], changed: Operation) -> tuple[Operation, ...]:
    return tuple(changed if o.name == changed.name else o for o in operations)


def _rework(rng: Random, found: Operation, most_rounds: int) -> Rework:
    skill = found.skill or "wet"
    steps = [build.hands("mend", rng.randint(2, 20), per="part", skill=skill)]
    if rng.random() < 0.6:
        steps.append(build.alone("set", rng.choice((20, 200, 900)), per="part"))
    if rng.random() < 0.5:
        steps.append(build.hands("dress again", rng.randint(2, 20), per="part", skill=skill))
    return Rework(
        name="mending",
        found_at=found.name,
        share=Decimal(rng.choice(_SHARES)),
        share_again=rng.choice((None, Decimal("0.2"), Decimal("0.6"))),
        most_rounds=rng.randint(1, most_rounds),
        operations=tuple(steps),
    )
