"""How far materials set as a plan goes by: a clock for pot life, one for cure, which may stall."""

from __future__ import annotations

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import Aging
from mouldwright.planning.routing import NEVER, setting_millionths

# What was mixed or began to cure before now is followed back so far.
BEFORE_MIN = 14 * 1440
# A cure under way is followed on so far.
LONGEST_CURE_MIN = 60 * 1440


def setting_materials(shop: Shop) -> tuple[str, ...]:
    """Return the materials whose times follow the shop's temperature."""
    if shop.temperatures is None:
        return ()
    return tuple(key for key, material in shop.materials.items() if material.warmth is not None)


def clocks_of(shop: Shop, now: int, length: int) -> tuple[Aging, ...]:
    """Return the clocks of every such material in turn, pot life and cure, in minutes from now."""
    if shop.temperatures is None:
        return ()
    spans = shop.temperatures.spans(shop.zone, now - BEFORE_MIN, now + length)
    found = []
    for key in setting_materials(shop):
        warmth = shop.materials[key].warmth
        assert warmth is not None  # asked above
        for speed in (warmth.speed, warmth.cure_speed):
            known = {warm: speed(warm) for _, _, warm in spans}
            found.append(Aging([(a - now, b - now, known[warm]) for a, b, warm in spans]))
    return tuple(found)


def cure_until(shop: Shop, operation: Operation, start: int, members: int) -> int | None:
    """Return when a cure begun at a minute since the epoch is over; None where it goes by no clock.

    Where it never gets warm enough within ``LONGEST_CURE_MIN``, that is when it is taken as over.
    """
    known = setting_materials(shop)
    if operation.cures is None or operation.cures not in known:
        return None
    clock = clocks_of(shop, start, LONGEST_CURE_MIN)[2 * known.index(operation.cures) + 1]
    after = clock.when(0, setting_millionths(operation, members))
    return start + (LONGEST_CURE_MIN if after is None else after)


def in_time(clock: Aging, mixed: int, used: int, life: int, work: int) -> int:
    """Return the first minute from ``mixed`` at which a mix may end to be used in time.

    Args:
        clock: By which its pot life goes.
        mixed: When it ended.
        used: When it was used up; no sooner than this, however late it is mixed.
        life: Its pot life on that clock, in millionths of a minute.
        work: The least minutes between the two.

    Returns:
        ``mixed`` where it is in time; NEVER where it will never be warm or cool enough.
    """
    at = max(mixed, clock.earliest(used, life))

    def is_late(minute: int) -> bool:
        return clock.lived(minute + work) - clock.lived(minute) > life

    while at > mixed and is_late(at):
        edges = [clock.edge_after(at), clock.edge_after(at + work)]
        ahead = [e - back for e, back in zip(edges, (0, work), strict=True) if e is not None]
        if not ahead:
            return NEVER
        edge = min(minute for minute in ahead if minute > at)
        if is_late(edge):
            at = edge
            continue
        # Between two edges it only gets better, or only worse.
        low, high = at, edge
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if is_late(middle) else (low, middle)
        at = high
    return at
