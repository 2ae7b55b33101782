"""When several quantities of a part would be ready, each planned on top of what is booked."""

from __future__ import annotations

from mouldwright.domain.compare import Comparison
from mouldwright.domain.errors import HardLimit
from mouldwright.domain.shop import Shop
from mouldwright.usecases.enquiry import Finish

# Each is a plan of its own, so there are few.
_QUANTITIES = (1, 10, 50, 100, 200, 500)
# A quantity this near to the one asked, as a ratio, tells nothing more.
_NEAR = 1.25

# Quantity, and minutes from now to the last good part; None where no plan can say.
Ready = tuple[int, int | None]


def quantities_beside(asked: int, last: int) -> tuple[int, ...]:
    """Return the quantity asked for among round ones up to a last one."""
    round_ones = {
        q for q in _QUANTITIES if q <= last and not 1 / _NEAR < q / asked < _NEAR and q != asked
    }
    return tuple(sorted(round_ones | ({asked} if asked <= last else set())))


def ready_times(
    shop: Shop, found: Comparison, *, now: int, finish: Finish, last: int
) -> dict[str, tuple[Ready, ...]]:
    """Return when each quantity would be ready, by every process that passes.

    Args:
        shop: With all that is booked.
        found: Which processes pass, and the quantity asked, planned with the others.
        now: Minutes since the epoch.
        finish: Says when an order is ready.
        last: The largest quantity.

    Raises:
        Busy: if there was no place to plan for too long.
    """
    quantities = quantities_beside(found.quantity, last)
    times: dict[str, tuple[Ready, ...]] = {}
    for choice in found.choices:
        if not choice.passes:
            continue
        points = tuple(
            (q, _minutes(shop, found.part, choice.process, q, now, finish)) for q in quantities
        )
        if any(minutes is not None for _, minutes in points):
            times[choice.process] = points
    return times


def _minutes(
    shop: Shop, part: str, process: str, quantity: int, now: int, finish: Finish
) -> int | None:
    try:
        return finish(shop, part, process, quantity, now).finish - now
    except HardLimit:
        return None
