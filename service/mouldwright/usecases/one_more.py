"""What one more of something would buy, and how many moulds an order wants, for a shop at hand."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.planning.gains import MouldCount, OneMore
from mouldwright.planning.more.one_more import one_more as one_more_of
from mouldwright.planning.more.trials import Effort
from mouldwright.planning.mould_count import mould_count as mould_count_of
from mouldwright.planning.plan import Task

# Told how many of how many plans are made, and which was made last.
Told = Callable[[int, int, str], None]

__all__ = ["Effort", "MouldCount", "OneMore", "Told", "mould_count", "one_more"]


def one_more(
    shop: Shop,
    *,
    now: int,
    effort: Effort,
    running: Sequence[Task] = (),
    pinned: Sequence[Task] = (),
    progress: Told | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> OneMore:
    """Say what one more mould, hour, day, station or a shorter cure would buy.

    Raises:
        InvalidInput: if the shop has no open order.
        HardLimit: if no plan can exist as things are.
    """
    if not shop.orders:
        raise InvalidInput(
            [
                Fault(
                    path="orders",
                    value="none",
                    problem="there is no open order, so nothing could be sooner.",
                    remedy="Add an order first.",
                )
            ]
        )
    return one_more_of(
        shop,
        now=now,
        effort=effort,
        running=running,
        pinned=pinned,
        progress=progress,
        cancelled=cancelled,
    )


def mould_count(
    shop: Shop,
    order: str,
    *,
    now: int,
    effort: Effort,
    most: int | None = None,
    running: Sequence[Task] = (),
    pinned: Sequence[Task] = (),
    progress: Told | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> MouldCount:
    """Say how many moulds an order wants; see ``planning.mould_count``.

    Raises:
        NotFound: if there is no such order.
        InvalidInput: if it is pulled from no one kind of mould, or ``most`` is none.
        HardLimit: if no count allows a plan.
    """
    if most is not None and most < 1:
        raise InvalidInput(
            [
                Fault(
                    path="most",
                    value=str(most),
                    problem="no mould makes no part.",
                    remedy="Give a whole number from 1.",
                )
            ]
        )
    return mould_count_of(
        shop,
        order,
        now=now,
        effort=effort,
        most=most,
        running=running,
        pinned=pinned,
        progress=progress,
        cancelled=cancelled,
    )
