"""What an order's cost rests on and is not certain: times, wages, prices, and good parts."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from mouldwright.domain.costing.cost_model import CostModel
from mouldwright.domain.costing.scrap import GoodRates, fewest_starts
from mouldwright.domain.estimate import Estimate, Floats, Shape, factor
from mouldwright.domain.material import Material
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop

_POINTS = 24
_FEW = 12
_MOST_ROUNDS = 60


Counts = NDArray[np.int64]


class Inputs:
    """Everything that is not certain, drawn; each by the name it goes by."""

    def __init__(self, shop: Shop, draws: int, rng: np.random.Generator) -> None:
        """Draw so often for a shop."""
        self.shop, self.draws, self.rng = shop, draws, rng
        self.drawn: dict[str, Floats] = {}
        self._common = rng.standard_normal(draws)

    def time(self, where: str, operation: Operation, times: int) -> str | None:
        """Draw the mean share of its time that an operation takes over so many times."""
        spread = operation.time_range
        if spread is None and operation.attended:
            spread = self.shop.odds.time_range
        estimate = factor(spread, self.shop.odds.shape)
        if estimate is None or times < 1:
            return None
        name = f"the time of {operation.name}{where}"
        if name not in self.drawn:
            together = float(self.shop.odds.together)
            self.drawn[name] = _mean_of(estimate, times, self._common, together, self.rng)
        return name

    def wage(self, key: str) -> str | None:
        """Draw the share of a person's wage that is paid."""
        person = self.shop.people[key]
        return self._own(f"the wage of {person.title}", factor(person.wage_range, self._shape))

    def price(self, material: Material) -> str | None:
        """Draw the share of a material's price that is paid."""
        return self._own(
            f"the price of {material.title}", factor(material.price_range, self._shape)
        )

    def pulls(self, where: str, model: CostModel, quantity: int) -> str | None:
        """Draw how many pulls (or starts, without pulls) it takes until enough are good."""
        planned = model.starts(quantity)
        begun = planned.pulls or planned.starts
        part, pull = self._rates(model)
        if model.rates.each == 1 and part.min() >= 1 and pull.min() >= 1:
            return None
        name = f"how many turn out good{where}"
        cavities = model.routing.parts_each
        total = np.full(self.draws, begun)
        good = _good(np.full(self.draws, begun), cavities, part, pull, self.rng)
        for _ in range(_MOST_ROUNDS):
            missing = np.maximum(quantity - good, 0)
            if not missing.any():
                break
            more = self._more(model, missing)
            total += more
            good += _good(more, cavities, part, pull, self.rng)
        self.drawn[name] = total.astype(np.float64)
        return name

    def _rates(self, model: CostModel) -> tuple[Floats, Floats]:
        """Return the chances that a part and a pull pass, one for each draw."""
        part = np.full(self.draws, float(model.rates.part))
        pull = np.full(self.draws, float(model.rates.pull))
        process = model.routing.process
        for operation in process.operations:
            spread = operation.good_rate_range
            if spread is None or spread.is_certain or operation.rework:
                continue
            likely = float(operation.good_rate)
            estimate = Estimate(
                least=float(spread.least), likely=likely, most=float(spread.most), shape=self._shape
            )
            # Those it is not done to pass it by.
            share = float(operation.applies_to_share)
            rate = 1 - share * (1 - estimate.at(self.rng.standard_normal(self.draws)))
            times = rate / (1 - share * (1 - likely))
            if operation.good_rate_per == "pull" and process.has_pulls:
                pull = np.minimum(pull * times, 1.0)
            else:
                part = np.minimum(part * times, 1.0)
        return part, pull

    def _more(self, model: CostModel, missing: Counts) -> Counts:
        level = self.shop.service_level
        pulls = {0: 0}
        for each in np.unique(missing):
            if each:
                pulls[int(each)] = fewest_starts(
                    int(each),
                    GoodRates(part=model.rates.part, pull=model.rates.pull),
                    cavities=model.routing.parts_each,
                    service_level=level,
                ).pulls
        return np.array([pulls[int(each)] for each in missing])

    @property
    def _shape(self) -> Shape:
        return self.shop.odds.shape

    def _own(self, name: str, estimate: Estimate | None) -> str | None:
        if estimate is None:
            return None
        if name not in self.drawn:
            self.drawn[name] = estimate.at(self.rng.standard_normal(self.draws))
        return name


def _good(
    pulls: Counts, cavities: int, part: Floats, pull: Floats, rng: np.random.Generator
) -> Counts:
    survive = rng.binomial(pulls, pull)
    found: Counts = rng.binomial(survive * cavities, part)
    return found


def _mean_of(
    estimate: Estimate, times: int, common: Floats, together: float, rng: np.random.Generator
) -> Floats:
    shared, own = together**0.5 * common, (1 - together) ** 0.5
    if not own:
        return estimate.at(shared)
    if times <= _FEW:
        total = np.zeros(len(common))
        for _ in range(times):
            total += estimate.at(shared + own * rng.standard_normal(len(common)))
        return total / times
    points, weights = np.polynomial.hermite_e.hermegauss(_POINTS)
    weights = weights / weights.sum()
    mean, square = np.zeros(len(common)), np.zeros(len(common))
    for point, weight in zip(points, weights, strict=True):
        value = estimate.at(shared + own * point)
        mean += weight * value
        square += weight * value**2
    deviation = np.sqrt(np.maximum(square - mean**2, 0) / times)
    found: Floats = np.maximum(mean + deviation * rng.standard_normal(len(common)), 0)
    return found
