"""Questions of one shop that keep nothing."""

from __future__ import annotations

from datetime import date
from typing import TypeVar

from pydantic import BaseModel

from mouldwright.client.call import Call
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.answers.bench_tests import BenchTestsAnswer
from mouldwright.wire.answers.buying import BuyListAnswer
from mouldwright.wire.answers.charge import ChargeAnswer, SampleAnswer
from mouldwright.wire.answers.comparison import ComparisonAnswer
from mouldwright.wire.answers.deflection import DeflectionAnswer
from mouldwright.wire.answers.hour import HourAnswer
from mouldwright.wire.answers.quote import QuoteAnswer
from mouldwright.wire.answers.rate import RateAnswer
from mouldwright.wire.answers.switching import WhatChangesAnswer
from mouldwright.wire.answers.tried_order import TriedOrderAnswer
from mouldwright.wire.service.question import (
    BestOf,
    BuyAsk,
    ChargeAsk,
    CompareAsk,
    DeflectionAsk,
    FinishBy,
    PriceAsk,
    RateAsk,
    SampleAsk,
    TryOrderAsk,
    WhatChangesAsk,
)
from mouldwright.wire.service.terms import TermsAsk

M = TypeVar("M", bound=BaseModel)


class Questions(Verbs[C]):
    """Asks what would be.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    @Verb
    def compare(
        self,
        part: str,
        quantity: int,
        *,
        by: str | None = None,
        finish: FinishBy = "planned",
        odds: bool = False,
    ) -> Steps[ComparisonAnswer]:
        """Return the processes for a part side by side, and which one to take.

        Args:
            part: Key of a part.
            quantity: Good pieces wanted.
            by: When they are wanted: a date, or a date and time.
            finish: Whether dates are planned on top of what is booked, or by the rate alone.
            odds: Whether to say what each may cost as well.
        """
        ask = CompareAsk(part=part, quantity=quantity, by=by, finish=finish, odds=odds)
        return self._asked("compare", ask, ComparisonAnswer)

    @Verb
    def what_changes(
        self,
        part: str,
        quantity: int,
        *,
        aim: BestOf = "recommended",
        by: str | None = None,
    ) -> Steps[WhatChangesAnswer]:
        """Return at which value of each number another process would be the best.

        Args:
            part: Key of a part.
            quantity: Good pieces wanted.
            aim: What it is the best of.
            by: When they are wanted: a date, or a date and time.
        """
        ask = WhatChangesAsk(part=part, quantity=quantity, aim=aim, by=by)
        return self._asked("what-changes", ask, WhatChangesAnswer)

    @Verb
    def try_order(
        self,
        part: str,
        quantity: int,
        *,
        process: str | None = None,
        by: str | None = None,
        weight: int = 1,
    ) -> Steps[TriedOrderAnswer]:
        """Return when one more order would be ready and which promises would move.

        Args:
            part: Key of a part or of a set.
            quantity: Good pieces wanted.
            process: Key of a process; None for a set.
            by: When it is wanted: a date, or a date and time.
            weight: How much its lateness counts.
        """
        ask = TryOrderAsk(part=part, process=process, quantity=quantity, by=by, weight=weight)
        return self._asked("try-order", ask, TriedOrderAnswer)

    @Verb
    def price(
        self,
        part: str,
        quantity: int,
        *,
        process: str | None = None,
        finish: FinishBy = "planned",
        odds: bool = False,
        by: str | None = None,
        terms: TermsAsk | None = None,
    ) -> Steps[QuoteAnswer]:
        """Return a price with all that made it; nothing is kept and it has no number.

        Args:
            part: Key of a part or of a set.
            quantity: Good pieces wanted.
            process: Key of a process; None for a set.
            finish: Whether the date is planned on top of what is booked, or by the rate alone.
            odds: Whether to say what the order may cost as well.
            by: When it is wanted: a date, or a date and time.
            terms: What is agreed beside part and quantity: discounts, rush, deliveries.
        """
        ask = PriceAsk(
            part=part,
            process=process,
            quantity=quantity,
            finish=finish,
            odds=odds,
            by=by,
            terms=terms or TermsAsk(),
        )
        return self._asked("price", ask, QuoteAnswer)

    @Verb
    def deflection(self, part: str, process: str) -> Steps[DeflectionAnswer]:
        """Return how far a part bends by a process, what it weighs and what goes into it."""
        ask = DeflectionAsk(part=part, process=process)
        return self._asked("deflection", ask, DeflectionAnswer)

    @Verb
    def stiffness(self, process: str | None = None) -> Steps[BenchTestsAnswer]:
        """Return what the bench tests of each process show, and what is counted on.

        Args:
            process: Key of one process; None for all that were tested.
        """
        call = Call(method="GET", path=f"{self._path}/stiffness", query={"process": process})
        return self._connection.value(call, BenchTestsAnswer)

    @Verb
    def charge(
        self, part: str, process: str, *, pulls: int = 1, weighed_g: float | None = None
    ) -> Steps[ChargeAnswer]:
        """Return what to weigh for so many pulls, and what a part that was weighed says.

        Args:
            part: Key of a part.
            process: Key of a process.
            pulls: Loaded at once.
            weighed_g: Grams of a finished part; None judges none.
        """
        ask = ChargeAsk(part=part, process=process, pulls=pulls, weighed_g=weighed_g)
        return self._asked("charge", ask, ChargeAnswer)

    @Verb
    def sample(
        self,
        lot: int | None = None,
        *,
        bad_share: float = 0.1,
        confidence: float = 0.95,
        may_fail: int = 0,
        good_share: float | None = None,
        good_passes: float = 0.95,
    ) -> Steps[SampleAnswer]:
        """Return how many parts of a lot to test.

        Args:
            lot: Parts in it; None for what is made on and on.
            bad_share: Share of bad parts that must not pass unseen.
            confidence: That it does not.
            may_fail: How many of those tested may fail.
            good_share: Share of bad parts with which a lot must still pass; how many may fail
                then follows.
            good_passes: Chance that it does.
        """
        ask = SampleAsk(
            lot=lot,
            bad_share=bad_share,
            confidence=confidence,
            may_fail=may_fail,
            good_share=good_share,
            good_passes=good_passes,
        )
        return self._asked("sample", ask, SampleAnswer)

    @Verb
    def rate(self, part: str, process: str, *, moulds: int | None = None) -> Steps[RateAnswer]:
        """Return how many can be made an hour and a day, and what holds it there.

        Args:
            part: Key of a part.
            process: Key of a process.
            moulds: As if there were so many; None for those there are.
        """
        ask = RateAsk(part=part, process=process, moulds=moulds)
        return self._asked("rate", ask, RateAnswer)

    @Verb
    def hour(self) -> Steps[HourAnswer]:
        """Return what an hour of hands costs, step by step, and what it is sold at."""
        return self._connection.value(Call(method="GET", path=f"{self._path}/hour"), HourAnswer)

    @Verb
    def buy_list(
        self,
        *,
        part: str | None = None,
        process: str | None = None,
        quantity: int = 1,
        by: date | None = None,
    ) -> Steps[BuyListAnswer]:
        """Return the cheapest packs that cover what the work draws beyond stock.

        Args:
            part: Buy for so many of this part or set, on top of the open orders; None buys
                for the open orders.
            process: Key of a process.
            quantity: Good pieces of that part.
            by: The day it must be there.
        """
        ask = BuyAsk(
            part=part,
            process=process,
            quantity=quantity,
            by=None if by is None else by.isoformat(),
        )
        return self._asked("buy-list", ask, BuyListAnswer)

    def _asked(self, question: str, ask: BaseModel, answer: type[M]) -> Steps[M]:
        call = Call(method="POST", path=f"{self._path}/{question}", body=ask, keeps_nothing=True)
        return self._connection.value(call, answer)
