"""All checks of a shop against itself."""

from __future__ import annotations

from itertools import chain

from mouldwright.domain.consistency.bench_tests import bench_test_faults
from mouldwright.domain.consistency.heat import heat_faults
from mouldwright.domain.consistency.hours import hours_faults
from mouldwright.domain.consistency.log import log_faults
from mouldwright.domain.consistency.materials import material_faults
from mouldwright.domain.consistency.money import money_faults
from mouldwright.domain.consistency.moulds import mould_faults
from mouldwright.domain.consistency.orders import order_faults
from mouldwright.domain.consistency.pot_life import pot_life_faults
from mouldwright.domain.consistency.prices import price_faults
from mouldwright.domain.consistency.rooms import room_faults
from mouldwright.domain.consistency.routing import routing_faults
from mouldwright.domain.consistency.shares import share_faults
from mouldwright.domain.consistency.sizes import size_faults
from mouldwright.domain.consistency.warmth import warmth_faults
from mouldwright.domain.errors import Fault
from mouldwright.domain.shop import Shop


def faults_of(shop: Shop) -> tuple[Fault, ...]:
    """Return everything in a shop that cannot be right or is unwise, warnings marked so."""
    return tuple(
        chain(
            routing_faults(shop),
            room_faults(shop),
            share_faults(shop),
            pot_life_faults(shop),
            heat_faults(shop),
            warmth_faults(shop),
            hours_faults(shop),
            material_faults(shop),
            mould_faults(shop),
            order_faults(shop),
            money_faults(shop),
            price_faults(shop),
            size_faults(shop),
            bench_test_faults(shop),
            log_faults(shop),
        )
    )
