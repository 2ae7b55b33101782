"""What an order may really cost: times, wages, prices and good parts drawn again and again.

Every line of the cost is worked out from the same rules as the cost itself; what is drawn
are factors on its hours and its rate, and how many pulls it really takes. An operation done
n times costs the sum of n times, so that what varies by itself averages out and what goes
together does not: given the common score z, their mean is m(z) and their deviation
s(z)/sqrt(n), and their sum is taken as normal (it is a sum of many alike, or of few and then
nearly so). Both are weighed over a score's own part at 24 points (Gauss and Hermite).

Which inputs matter is found by working the cost out again with one of them at its lowest and
highest tenth and all others in the middle.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

import numpy as np

from mouldwright.domain.costing.cost_model import CostModel
from mouldwright.domain.costing.labour import hour_cost_of
from mouldwright.domain.costing.lines import LineRule
from mouldwright.domain.costing.material_cost import beyond_use, needs
from mouldwright.domain.costing.risk_inputs import Inputs
from mouldwright.domain.costing.scrap import Starts
from mouldwright.domain.estimate import Floats
from mouldwright.domain.process.operation import Operation

DRAWS = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Driver:
    """An input that is not certain, and what it does to the cost of one good part.

    Attributes:
        name: In words.
        low: Cost with it at its lowest tenth, all others in the middle.
        high: The same at its highest tenth.
    """

    name: str
    low: float
    high: float

    @property
    def swing(self) -> float:
        """Return how far it moves the cost."""
        return abs(self.high - self.low)


@dataclass(frozen=True, slots=True, kw_only=True)
class CostOdds:
    """What an order may cost; money for one good part.

    Attributes:
        p50: Not above this in half of the draws; p80 and p95 likewise.
        profit_chance: Share of draws in which the order's net covers its cost.
        drivers: What is not certain, what matters most first.
    """

    draws: int
    seed: int
    mean: float
    p50: float
    p80: float
    p95: float
    profit_chance: float
    drivers: tuple[Driver, ...]


def cost_odds(
    parts: Sequence[tuple[CostModel, int]],
    *,
    quantity: int,
    total: Fraction,
    net: Fraction,
    draws: int = DRAWS,
    seed: int = 1,
) -> CostOdds:
    """Return what an order may cost.

    Args:
        parts: Each part's cost model and how many good ones of it are wanted.
        quantity: Pieces sold: good parts, or sets.
        total: Cost of the order as reckoned; what the models do not hold is certain.
        net: What the order is sold for, before tax.
        draws: How often it is drawn, at least 1.
        seed: The same seed, the same answer.
    """
    rng = np.random.default_rng(seed)
    shop = parts[0][0].shop
    inputs = Inputs(shop, draws, rng)
    several = len(parts) > 1
    costs = [
        _PartCost(model, wanted, inputs, f" of {model.part}" if several else "")
        for model, wanted in parts
    ]
    certain = float(total) - sum(cost.as_reckoned for cost in costs)
    drawn = certain + sum((cost.total(inputs.drawn) for cost in costs), np.zeros(draws))
    each = np.sort(drawn / quantity)
    return CostOdds(
        draws=draws,
        seed=seed,
        mean=float(each.mean()),
        p50=_quantile(each, 0.5),
        p80=_quantile(each, 0.8),
        p95=_quantile(each, 0.95),
        profit_chance=round(float((drawn <= float(net) + 1e-9).mean()), 4),
        drivers=_drivers(inputs, costs, certain, quantity),
    )


class _PartCost:
    """The cost of one part's share of an order, as a function of what is drawn.

    Attributes:
        as_reckoned: Cost where nothing is drawn.
    """

    def __init__(self, model: CostModel, quantity: int, inputs: Inputs, where: str) -> None:
        self._model, self._quantity, self._inputs = model, quantity, inputs
        planned = model.starts(quantity)
        self._pulls = inputs.pulls(where, model, quantity)
        begun = planned.pulls or planned.starts
        drawn = inputs.drawn[self._pulls] if self._pulls else np.array([begun])
        self._known = np.unique(np.append(drawn, begun))
        counts = [model.counts(self._starts(int(pulls))) for pulls in self._known]
        self._rows = [
            np.array([float(rule.quantity(each)) for each in counts]) for rule in model.rules
        ]
        charged = model.shop.materials_charged == "bought"
        self._beyond = np.array(
            [float(beyond_use(needs(model.rules, c), model.prices)) if charged else 0.0
             for c in counts]
        )  # fmt: skip
        base = model.counts(planned)
        self._factors = [self._names(rule, op, base, where) for rule, op in self._worked()]
        self.as_reckoned = float(model.total(planned) or 0)

    def _starts(self, pulls: int) -> Starts:
        planned = self._model.starts(self._quantity)
        each = self._model.routing.parts_each
        return Starts(
            quantity=self._quantity,
            starts=pulls * each,
            pulls=pulls if planned.pulls else 0,
            chance=planned.chance,
            expected_good=planned.expected_good,
        )

    def _worked(self) -> Iterator[tuple[LineRule, Operation | None]]:
        """Yield each rule with the operation whose hours it counts; None for all others."""
        process = self._model.routing.process
        attended = iter([o for o in process.operations if o.attended])
        for rule in self._model.rules:
            if rule.kind == "labour":
                yield rule, next(attended, None)
            elif rule.kind == "conditioning":
                yield rule, process.conditioning
            else:
                yield rule, None

    def _names(
        self,
        rule: LineRule,
        operation: Operation | None,
        counts: Mapping[str, Fraction],
        where: str,
    ) -> tuple[str | None, tuple[tuple[str, float], ...]]:
        """Return the input that moves a line's quantity, and those of its rate with weights."""
        model, inputs = self._model, self._inputs
        if rule.kind == "material":
            material = model.shop.materials.get(rule.material)
            name = inputs.price(material) if material is not None else None
            return None, ((name, 1.0),) if name else ()
        if operation is None:
            return None, ()
        times = 1
        if operation.per != "conditioning":
            place = model.routing.process.operations.index(operation)
            times = int(counts[model.routing.times(place)])
        time = inputs.time(where, operation, times)
        able = model.shop.with_skill(operation.skill)
        paid = sum(float(hour_cost_of(person, model.shop)) for person in able)
        wages = []
        for person in able:
            name = inputs.wage(person.key)
            if name is not None and paid:
                wages.append((name, float(hour_cost_of(person, model.shop)) / paid))
        return time, tuple(wages)

    def total(self, drawn: Mapping[str, Floats]) -> Floats:
        """Return the cost for what is drawn; every array is as long as the others."""
        length = len(next(iter(drawn.values()), np.zeros(self._inputs.draws)))
        place = np.zeros(length, dtype=np.int64)
        begun = self._model.starts(self._quantity)
        pulls = np.full(length, float(begun.pulls or begun.starts))
        if self._pulls:
            pulls = drawn[self._pulls]
        place = np.searchsorted(self._known, pulls).clip(0, len(self._known) - 1)
        found = self._beyond[place]
        extra_hours = np.zeros(length)
        for rule, rows, (time, rates) in zip(
            self._model.rules, self._rows, self._factors, strict=True
        ):
            hours = rows[place]
            if rule.kind == "overhead":
                hours = hours + extra_hours
            if time is not None:
                extra_hours += hours * (drawn[time] - 1)
                hours = hours * drawn[time]
            rate = np.ones(length)
            for name, weight in rates:
                rate = rate + weight * (drawn[name] - 1)
            if rule.rate is not None:
                found = found + hours * float(rule.rate) * rate
        return found


def _drivers(
    inputs: Inputs, costs: Sequence[_PartCost], certain: float, quantity: int
) -> tuple[Driver, ...]:
    names = list(inputs.drawn)
    rows: dict[str, Floats] = {}
    for place, name in enumerate(names):
        low, middle, high = np.quantile(inputs.drawn[name], [0.1, 0.5, 0.9], method="inverted_cdf")
        rows[name] = np.full(2 * len(names), middle)
        rows[name][2 * place], rows[name][2 * place + 1] = low, high
    if not names:
        return ()
    worked_out = certain + sum((cost.total(rows) for cost in costs), np.zeros(2 * len(names)))
    found = [
        Driver(
            name=name,
            low=float(worked_out[2 * place]) / quantity,
            high=float(worked_out[2 * place + 1]) / quantity,
        )
        for place, name in enumerate(names)
    ]
    return tuple(sorted(found, key=lambda driver: (-driver.swing, driver.name)))


def _quantile(ordered: Floats, chance: float) -> float:
    """Return the smallest cost that at least that share of the draws does not exceed."""
    return float(ordered[max(ceil(chance * len(ordered) - 1e-9), 1) - 1])
