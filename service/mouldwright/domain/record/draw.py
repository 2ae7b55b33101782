"""What one task takes from stock: by its recipe, in whole steps of the shop's scale."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from mouldwright.domain.costing.material_cost import batch_load
from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.part.mass import charge
from mouldwright.domain.process.batch import is_mixing, mix_need
from mouldwright.domain.process.mix_card import mix_card
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import Exact, exact
from mouldwright.domain.record.log import LoggedTask
from mouldwright.domain.shop import Shop

# What comes by the metre is cut to the millimetre.
CUT_STEP_M = Decimal("0.001")


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """What a task takes from stock, and for whom.

    Attributes:
        amounts: Grams, or metres of what comes by the metre, by stocked material.
        shares: Of it, by number of the order; empty for no order's task.
    """

    amounts: Mapping[str, Decimal] = field(default_factory=dict)
    shares: Mapping[str, Fraction] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """What of one order is in a task."""

    order: str
    charged: Charge
    units: Fraction
    parts: Fraction
    cavities: int


class Recipes:
    """Says what tasks of a shop take from stock; each part's charge is worked out once."""

    def __init__(self, shop: Shop) -> None:
        """Keep the shop."""
        self.shop = shop
        self._part_of = {o.number: o.part for o in shop.orders if o.part in shop.parts}
        self._charges: dict[tuple[str, str], Charge | None] = {}
        # By process and operation that takes something: its place, whether it mixes, and
        # whether what is not mixed is taken with it.
        self._takes: dict[tuple[str, str], tuple[int, bool, bool]] = {}
        for process in shop.processes.values():
            dry_place = _dry_place(shop, process)
            for place, operation in enumerate(process.operations):
                mixes = is_mixing(shop, operation)
                if mixes or place == dry_place:
                    found = (place, mixes, place == dry_place)
                    self._takes[process.key, operation.name] = found

    def draw(self, task: LoggedTask, *, mixed_g: Exact | float | None = None) -> Draw:
        """Return what a task takes from stock; nothing where its recipe is not known.

        What a mix is made of is drawn as it is mixed, what is loaded beside it with the first
        mix, and in a process that mixes nothing with its first step. What is lost is in it.

        Args:
            task: Done, or to be done.
            mixed_g: Grams that a plan mixes at it; None by the recipe.
        """
        process = self.shop.processes.get(task.process)
        taking = self._takes.get((task.process, task.operation))
        if process is None or taking is None:
            return Draw()
        place, mixes, is_dry = taking
        groups = list(self._groups(process, task))
        weights: dict[str, Fraction] = {}
        amounts: dict[str, Decimal] = {}
        if mixes:
            _add(amounts, self._mixed(process, place, groups, mixed_g, weights))
        if is_dry:
            _add(amounts, self._dry(process, groups, weights))
        whole = sum(weights.values(), Fraction(0))
        shares = {order: weight / whole for order, weight in weights.items() if order and whole}
        return Draw(amounts=amounts, shares=shares)

    def is_topped_up(self, task: LoggedTask) -> bool:
        """Return whether a mix is larger than its work needs, as the least to be mixed is more."""
        process = self.shop.processes.get(task.process)
        taking = self._takes.get((task.process, task.operation))
        if process is None or taking is None or not taking[1]:
            return False
        mix = self.shop.materials[process.operations[taking[0]].material or ""].mix
        assert mix is not None  # it mixes
        needed = self._needed(process, taking[0], self._groups(process, task), {})
        return 0 < needed + exact(mix.lost_g) < exact(mix.least_mixed_g)

    def _groups(self, process: Process, task: LoggedTask) -> Iterator[_Group]:
        family = self.shop.moulds.get((task.mould or "").rpartition(" ")[0])
        if not task.members:
            mould = task.mould
            is_proof = mould is not None and (
                self.shop.mould_work(task.process, task.operation, mould) == "proof"
            )
            charged = self._charge(task.part, process) if is_proof and process.uses_mould else None
            if charged is not None:
                cavities = family.cavities if family else 1
                yield _Group(
                    order="",
                    charged=charged,
                    units=Fraction(1),
                    parts=Fraction(cavities),
                    cavities=cavities,
                )
            return
        for member in task.members:
            part = self._part_of.get(member.order, task.part)
            charged = self._charge(part, process)
            if charged is None:
                continue
            served = self.shop.families(part, process.key)
            cavities = family.cavities if family else served[0].cavities if served else 1
            if not process.has_pulls:
                units = parts = Fraction(len(member.parts))
            elif member.pulls and len(member.parts) != 1:
                units, parts = Fraction(len(member.pulls)), Fraction(len(member.pulls) * cavities)
            else:
                units, parts = Fraction(len(member.parts), cavities), Fraction(len(member.parts))
            yield _Group(
                order=member.order, charged=charged, units=units, parts=parts, cavities=cavities
            )

    def _charge(self, part: str, process: Process) -> Charge | None:
        key = (part, process.key)
        if key not in self._charges:
            try:
                known = part in self.shop.parts and process.structure is not None
                self._charges[key] = (
                    charge(self.shop, self.shop.part(part), process) if known else None
                )
            except MouldwrightError:
                # The part was changed since, and cannot be made so any more: nothing is guessed.
                self._charges[key] = None
        return self._charges[key]

    def _mixed(
        self,
        process: Process,
        place: int,
        groups: Iterable[_Group],
        mixed_g: Exact | float | None,
        weights: dict[str, Fraction],
    ) -> Mapping[str, Decimal]:
        operation = process.operations[place]
        mix = self.shop.materials[operation.material or ""].mix
        assert mix is not None  # asked by is_mixing
        total = self._needed(process, place, groups, weights)
        if not total and mixed_g is None:
            return {}
        least = max(total + exact(mix.lost_g), exact(mix.least_mixed_g))
        card = mix_card(
            self.shop.materials[operation.material or ""],
            self.shop.materials,
            least if mixed_g is None else exact(mixed_g),
            resolution_g=self.shop.scale_step_g,
        )
        return card.components_g

    def _needed(
        self,
        process: Process,
        place: int,
        groups: Iterable[_Group],
        weights: dict[str, Fraction],
    ) -> Fraction:
        """Return the grams a mix's work takes; what each order takes is added to the weights."""
        operation, total = process.operations[place], Fraction(0)
        for group in groups:
            load = batch_load(process, group.charged, group.cavities)
            grams = group.units * mix_need(self.shop, process, operation, load).each_g
            weights[group.order] = weights.get(group.order, Fraction(0)) + grams
            total += grams
        return total

    def _dry(
        self, process: Process, groups: Iterable[_Group], weights: dict[str, Fraction]
    ) -> Mapping[str, Decimal]:
        mixed = {o.material for o in process.operations if is_mixing(self.shop, o)}
        waste = 1 + exact(process.waste_share)
        wanted: dict[str, Fraction] = {}
        steps: dict[str, Decimal] = {}
        for group in groups:
            for each in group.charged.constituents:
                if each.material in mixed:
                    continue
                amount = exact(round(each.metres or each.loaded_g, 6)) * waste * group.parts
                wanted[each.material] = wanted.get(each.material, Fraction(0)) + amount
                steps[each.material] = CUT_STEP_M if each.metres else self.shop.scale_step_g
                grams = exact(round(each.loaded_g, 6)) * group.parts
                weights[group.order] = weights.get(group.order, Fraction(0)) + grams
        return {key: _in_steps(amount, steps[key]) for key, amount in wanted.items()}


def _dry_place(shop: Shop, process: Process) -> int | None:
    """Return at which operation all that is not mixed is taken; None where nothing goes by parts.

    With the first mix, as it is weighed beside it; without one at the first step.
    """
    steps = list(enumerate(process.operations))
    mixing = (place for place, o in steps if is_mixing(shop, o))
    first = (place for place, o in steps if o.per in ("pull", "part", "batch"))
    return next(mixing, next(first, None))


def _in_steps(amount: Fraction, step: Decimal) -> Decimal:
    """Return an amount in whole steps, half a step upwards."""
    steps = amount / exact(step)
    whole = (2 * steps.numerator + steps.denominator) // (2 * steps.denominator)
    return (Decimal(whole) * step).quantize(step, ROUND_HALF_UP)


def _add(amounts: dict[str, Decimal], more: Mapping[str, Decimal]) -> None:
    for material, amount in more.items():
        amounts[material] = amounts.get(material, Decimal(0)) + amount
