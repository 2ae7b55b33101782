"""Random shops with rooms, sessions and weather: those of ``random_shops``, put on such ground."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from random import Random
from typing import Any

import builders as build
from random_shops import Drawn, draw, draw_tiny

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.room import Session
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import Season, Temperatures, Warmth

# Which state an operation's work makes, where it is drawn to need the room.
_STATES = {
    **dict.fromkeys(("trim", "sand", "cut", "dress"), "dust"),
    **dict.fromkeys(("load", "lay", "fill", "coat", "recoat", "mix"), "wet"),
    **dict.fromkeys(("cure", "rest"), "wet"),
}


def draw_grounded(rng: Random) -> Drawn:
    """Return a random shop some of whose work needs a room, or costs going in and coming out."""
    return _grounded(rng, draw(rng), alone=0.2)


def draw_tiny_grounded(rng: Random) -> Drawn:
    """Return a tiny shop on such ground, without upkeep, that can be searched whole."""
    drawn = draw_tiny(rng)
    moulds = {
        key: replace(family, conditioned_every_pulls=None)
        for key, family in drawn.shop.moulds.items()
    }
    return _grounded(rng, replace(drawn, shop=replace(drawn.shop, moulds=moulds)), alone=0.0)


def _grounded(rng: Random, drawn: Drawn, *, alone: float) -> Drawn:
    shop = drawn.shop
    settle = rng.choice((0, 20, 60))
    room = build.room("bench", settle, dust=rng.choice((None, 45)), wet=None)
    processes = {key: _placed(rng, process, alone) for key, process in shop.processes.items()}
    return replace(
        drawn,
        shop=replace(
            shop,
            processes=processes,
            rooms={"bench": room},
            **_warm(rng, shop),
            sessions={session.key: session for session in _sessions(rng)},
        ),
    )


def _placed(rng: Random, process: Process, alone: float) -> Process:
    """Return a process some of whose operations need the room."""
    share = rng.random()

    def placed(operation: Operation) -> Operation:
        if operation.name in ("cure", "rest"):
            operation = replace(operation, cures="resin")
        state = _STATES.get(operation.name)
        if state is None or rng.random() > (share if operation.attended else alone):
            return operation
        return replace(operation, in_room="bench", room_state=state)

    return replace(process, operations=tuple(placed(o) for o in process.operations))


def _warm(rng: Random, shop: Shop) -> dict[str, Any]:
    """Return the shop's temperatures and the resin's sheet; mostly none."""
    resin = shop.materials.get("resin", build.mixed())
    sheet = Warmth(reference_c=Decimal(20), least_c=rng.choice((None, Decimal(12))))
    seasons = tuple(
        Season(
            begins=begins,
            day_c=Decimal(rng.randint(14, 26)),
            night_c=Decimal(rng.randint(8, 20)),
        )
        for begins in ((1, 1), (3, 3), (10, 31))
    )
    warm = Temperatures(seasons=seasons) if rng.random() < 0.6 else None
    return {
        "materials": {**shop.materials, "resin": replace(resin, warmth=sheet)},
        "temperatures": warm,
    }


def _sessions(rng: Random) -> list[Session]:
    """Return none, or gearing up for wet work, or for what is done in dust."""
    kind = rng.randrange(3)
    minutes = rng.randint(1, 15), rng.randint(1, 15)
    if kind == 0:
        return []
    if kind == 1:
        return [build.session("gloves", *minutes, skill="wet")]
    return [build.session("mask", *minutes, in_room="bench", room_state="dust")]
