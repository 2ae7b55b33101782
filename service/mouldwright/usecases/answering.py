"""What a worker does with a question at length; apart from asking, which needs no planner."""

from __future__ import annotations

import json
from collections.abc import Callable

from mouldwright.domain.money import Currency
from mouldwright.domain.shop import Shop
from mouldwright.planning.gains import TriedOrder
from mouldwright.planning.plan import Plan
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.one_more import Effort, MouldCount, OneMore, Told, mould_count, one_more
from mouldwright.usecases.pinned_plan import Kept
from mouldwright.usecases.studies import MOULDS, ONE_MORE, TRY
from mouldwright.usecases.try_order import try_order, wanted_of


class Answering:
    """Answers the questions that a worker takes up.

    Attributes:
        one_more, moulds, tried: Write what was found as JSON, given the shop's currency.
    """

    def __init__(
        self,
        one_more: Callable[[OneMore, Currency], str],
        moulds: Callable[[MouldCount, Currency], str],
        tried: Callable[[TriedOrder], str],
    ) -> None:
        """Keep how answers are written."""
        self._one_more, self._moulds, self._tried = one_more, moulds, tried

    def __call__(
        self,
        run: Run,
        shop: Shop,
        *,
        now: int,
        kept: Kept,
        held: Callable[[], Plan | None],
        progress: Told,
        cancelled: Callable[[], bool],
    ) -> str:
        """Return the answer to a question as JSON.

        ``held`` gives the plan that holds, where it is asked for.

        Raises:
            Unknown: if it is a question nobody knows.
            NotFound: if its order is no longer open.
            InvalidInput: if there is nothing to answer.
            HardLimit: if no plan can exist.
        """
        effort = Effort(seconds=run.seconds, seed=run.seed)
        if run.subject == ONE_MORE:
            found = one_more(
                shop, now=now, effort=effort, progress=progress, cancelled=cancelled, **kept
            )
            return self._one_more(found, shop.currency)
        if run.subject.startswith(f"{MOULDS} "):
            ask = json.loads(run.ask)
            count = mould_count(
                shop,
                ask["order"],
                now=now,
                effort=effort,
                most=ask["most"],
                progress=progress,
                cancelled=cancelled,
                **kept,
            )
            return self._moulds(count, shop.currency)
        if run.subject.startswith(f"{TRY} "):
            tried = try_order(
                shop,
                wanted_of(shop, **json.loads(run.ask)),
                now=now,
                held=held(),
                seconds=run.seconds,
                seed=run.seed,
                options=True,
                kept=kept,
                progress=progress,
                cancelled=cancelled,
            )
            return self._tried(tried)
        raise Unknown(kind="question", key=run.subject)
