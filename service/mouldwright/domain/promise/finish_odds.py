"""How likely it is that orders are finished by when: what many runs of a plan showed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, inf

import numpy as np

from mouldwright.domain.estimate import Floats
from mouldwright.domain.hours.opening import local


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderOdds:
    """When one order is likely to be finished; minutes since the epoch.

    Attributes:
        planned: Where everything takes what is planned and every start is done.
        due: None where it has no date.
        promised: The first minute by which it is finished often enough to be promised; this
            and the next three are None where that lies beyond all hours laid out.
        promised_chance: Share of runs finished by then.
        p50: Finished by then in half of the runs.
        p80: In 80 of 100.
        p95: In 95 of 100.
        chance: Share of runs finished by the due date; None without one.
    """

    number: str
    planned: int
    due: int | None
    promised: int | None
    promised_chance: float
    p50: int | None
    p80: int | None
    p95: int | None
    chance: float | None

    @classmethod
    def of(
        cls, *, number: str, planned: int, due: int | None, finishes: Floats, level: float
    ) -> OrderOdds:
        """Return the odds from the finish in each run, infinity for one that never was."""
        ordered = np.sort(finishes)
        promised = reached(ordered, level)
        return cls(
            number=number,
            planned=planned,
            due=due,
            promised=promised,
            promised_chance=_share_by(ordered, promised),
            p50=reached(ordered, 0.5),
            p80=reached(ordered, 0.8),
            p95=reached(ordered, 0.95),
            chance=None if due is None else _share_by(ordered, due),
        )

    def is_seldom_as_planned(self, zone: str) -> bool:
        """Return whether the planned day is kept in fewer than half of the runs.

        Args:
            zone: Whose days, such as ``Europe/Lisbon``.
        """
        return self.p50 is None or local(self.p50, zone).date() > local(self.planned, zone).date()


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitPassed:
    """An operation that came too late after another in some runs.

    Attributes:
        share: Of the runs in which it did at least once.
    """

    process: str
    operation: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanOdds:
    """The odds of all orders of a plan.

    Attributes:
        level: Chance with which the shop promises.
        limits_passed: Where a greatest wait or a pot life was passed, the most often first.
    """

    runs: int
    seed: int
    level: float
    limits_passed: tuple[LimitPassed, ...]
    orders: tuple[OrderOdds, ...]

    def order(self, number: str) -> OrderOdds:
        """Return the odds of one order. Raises KeyError where there is none of that number."""
        for each in self.orders:
            if each.number == number:
                return each
        raise KeyError(number)


def reached(ordered: Sequence[float] | Floats, chance: float) -> int | None:
    """Return the first whole minute by which a share of the runs is finished.

    The smallest finish that at least that share does not exceed (the inverse of the
    empirical distribution), rounded up to its minute; None where that is infinite.
    """
    # A chance such as 0.8 of 1000 is the 800th, not the 801st a float might make of it.
    place = max(ceil(chance * len(ordered) - 1e-9), 1) - 1
    at = float(ordered[place])
    return None if at == inf else ceil(at - 1e-6)


def _share_by(ordered: Floats, minute: int | None) -> float:
    if minute is None:
        return 0.0
    return round(float(np.searchsorted(ordered, minute + 1e-6, side="right")) / len(ordered), 4)
