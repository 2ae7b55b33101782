"""What stays behind of each mix, by the log, drawn toward the standard while few cups were weighed.

What the grams of the cups are about is drawn toward the standard (``drawn_toward``): the centre as
sure as ``PRIOR_CUPS`` cups at the standard, the spread as sure as ``PRIOR_SPREAD_CUPS`` at a
quarter of the standard and no less than ``LEAST_SPREAD_G``. Grams and no logarithms, as a cup may
be found empty.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from mouldwright.domain.process.batch import is_mixing
from mouldwright.domain.record.done import DoneTask, tasks_done
from mouldwright.domain.record.draw import Recipes
from mouldwright.domain.record.drawn_toward import drawn_toward
from mouldwright.domain.record.kept_log import in_force
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.domain.shop import Shop

# The prior's weight, and by how much cups scatter; common practice, no source.
PRIOR_CUPS = 4
PRIOR_SPREAD_CUPS = 4
PRIOR_SPREAD = 0.25
LEAST_SPREAD_G = 0.5
# Older cups tell of how it was done once; common practice, no source.
MOST_CUPS = 60
CONFIDENCE = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualLoss:
    """What usually stays behind of a mix, in grams.

    Attributes:
        cups: That it rests on.
        noted_g: The cups' own mean; None where there are none.
        usual_g: Drawn toward the standard.
        least_g: With 90 % confidence ``usual_g`` lies from here
        most_g: to here.
        spread_g: Two cups in three lie within so much of it.
    """

    cups: int
    noted_g: float | None
    usual_g: float
    least_g: float
    most_g: float
    spread_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LearntLoss:
    """What the log says of what is lost of one material each time it is mixed.

    Attributes:
        material: Key of what is mixed.
        standard_g: As it is written.
        usual: By the cups that count.
        set_aside: Cups of mixes that were made larger than their work needed, as the least that
            may be mixed is more: what was left in them is no loss.
        entries: Numbers of the entries that it rests on.
    """

    material: str
    standard_g: Decimal
    usual: UsualLoss
    set_aside: int
    entries: tuple[int, ...]

    @property
    def differs(self) -> bool:
        """Return whether it is not the standard, as surely as the interval is."""
        return not self.usual.least_g <= float(self.standard_g) <= self.usual.most_g


def learnt_losses(shop: Shop) -> tuple[LearntLoss, ...]:
    """Return what the log says of every mix of which a cup was weighed."""
    cups: dict[str, list[LogEntry]] = {}
    for entry in in_force(shop.log):
        if is_cup(entry) and entry.material is not None:
            cups.setdefault(entry.material, []).append(entry)
    if not cups:
        return ()
    recipes, mixed = Recipes(shop), dict(_mixings(shop))
    found = []
    for key, material in shop.materials.items():
        if material.mix is None or key not in cups:
            continue
        weighed = sorted(cups[key], key=lambda entry: (entry.at, entry.number))
        telling = [e for e in weighed if not _is_topped_up(recipes, mixed.get(key, ()), e)]
        telling = telling[-MOST_CUPS:]
        found.append(
            LearntLoss(
                material=key,
                standard_g=material.mix.lost_g,
                usual=usual_loss(
                    [float(e.mass_g or 0) for e in telling], standard_g=float(material.mix.lost_g)
                ),
                set_aside=len(weighed) - len(telling),
                entries=tuple(entry.number for entry in telling),
            )
        )
    return tuple(found)


def is_cup(entry: LogEntry) -> bool:
    """Return whether an entry tells what stayed behind in the cup of a mix."""
    return entry.what is Happening.WEIGHED and entry.material is not None


def usual_loss(grams: Sequence[float], *, standard_g: float) -> UsualLoss:
    """Return what usually stays behind, drawn toward the standard.

    Args:
        grams: What each cup held when it was done with.
        standard_g: As it is written.
    """
    found = drawn_toward(
        standard_g,
        grams,
        sure=PRIOR_CUPS,
        spread=max(PRIOR_SPREAD * standard_g, LEAST_SPREAD_G),
        spread_sure=PRIOR_SPREAD_CUPS,
        confidence=CONFIDENCE,
    )
    return UsualLoss(
        cups=len(grams),
        noted_g=found.mean,
        usual_g=found.centre,
        least_g=max(0.0, found.centre - found.off),
        most_g=found.centre + found.off,
        spread_g=found.spread,
    )


def _mixings(shop: Shop) -> Iterator[tuple[str, tuple[DoneTask, ...]]]:
    """Yield each material that is mixed with the tasks that mixed it."""
    of = {
        (process.key, operation.name): operation.material
        for process in shop.processes.values()
        for operation in process.operations
        if is_mixing(shop, operation)
    }
    found: dict[str, list[DoneTask]] = {}
    for done in tasks_done(shop.log):
        material = of.get((done.task.process, done.task.operation))
        if material is not None:
            found.setdefault(material, []).append(done)
    yield from ((key, tuple(tasks)) for key, tasks in found.items())


def _is_topped_up(recipes: Recipes, mixings: Sequence[DoneTask], cup: LogEntry) -> bool:
    """Return whether the mix last made before a cup was weighed was more than its work needs."""
    before = [done for done in mixings if done.last_known <= cup.at]
    if not before:
        return False
    return recipes.is_topped_up(max(before, key=lambda done: done.last_known).task)
