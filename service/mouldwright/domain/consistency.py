"""Whether the things of a shop fit each other."""

from __future__ import annotations

from mouldwright.domain.errors import Fault
from mouldwright.domain.shop import Shop


def faults_of(shop: Shop) -> tuple[Fault, ...]:
    """Return everything in a shop that cannot be right or is unwise, warnings marked so."""
    return ()
