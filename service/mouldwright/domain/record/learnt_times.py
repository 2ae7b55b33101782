"""How long work really takes, by operation and person, drawn toward the standard while few.

Each timed task gives the logarithm of its minutes over its standard. What these are about is drawn
toward the standard (``drawn_toward``): the centre as sure as ``PRIOR_TASKS`` tasks at the standard,
the spread as sure as ``PRIOR_SPREAD_TASKS`` at ``PRIOR_SPREAD``.

A person's centre is drawn the same way toward what the others take, so that whoever has done
something twice is judged by the bench and not by two good days.

What runs by itself is nobody's time and falls by no repetition. Of it those tasks count whose end
was seen.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from mouldwright.domain.costing.actual_work import noted_min, size_of
from mouldwright.domain.costing.learning import unit_share
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.record.done import DoneTask, tasks_done
from mouldwright.domain.record.drawn_toward import drawn_toward
from mouldwright.domain.record.fitted_curve import FittedCurve, fitted_curve
from mouldwright.domain.record.unattended import end_was_seen, is_machine_run
from mouldwright.domain.shop import Shop

# The prior's weight, and what a bench's times scatter by; common practice, no source.
PRIOR_TASKS = 4
PRIOR_SPREAD = 0.25
PRIOR_SPREAD_TASKS = 4
# Further from the standard than so many times, somebody ticked late or both at once; common
# practice, no source.
FURTHEST = 5
# Older tasks tell of how it was done once; common practice, no source.
MOST_TASKS = 60
CONFIDENCE = 0.9
_NO_HANDS = "It runs by itself: no hands learn it."


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedTask:
    """One task whose start and end were noted.

    Attributes:
        minutes: Really worked, pauses of what may pause taken out.
        standard_min: What it should take.
        place: Which it was of its order's, from 1; None where it is of no order or of several.
        order: Number of that order; empty with it.
        people: Keys of those who did it.
        entries: Numbers of the entries that tell of it.
    """

    minutes: float
    standard_min: float
    place: int | None
    order: str
    people: tuple[str, ...]
    entries: tuple[int, ...]

    @property
    def share(self) -> float:
        """Return its minutes as a share of the standard."""
        return self.minutes / self.standard_min


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualTime:
    """What tasks usually take, as a share of the standard: as many take longer as take less.

    Attributes:
        tasks: That it rests on.
        noted: The tasks' own geometric mean; None where there are none.
        share: Drawn toward what was to be expected.
        least: With 90 % confidence ``share`` lies from here
        most: to here.
        spread: Two tasks in three lie within so many times it, up or down.
    """

    tasks: int
    noted: float | None
    share: float
    least: float
    most: float
    spread: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LearntTime:
    """What the log says of one operation's time.

    Attributes:
        process: Key of the process, or of the set.
        standard_min: Of a task such as those noted: the middle of their standards.
        usual: Of all hands together.
        by_person: Of those who did any of it alone.
        tasks: Those it rests on, by when they are first heard of.
        set_aside: Those that cannot be times of work: nought, or too far from the standard.
        curve: How times fall with repetition within an order.
        unseen: Tasks without people that ended when nobody could look.
        is_for_the_log: Whether its standard is the log's to correct: of hands and of machine
            runs; all else that waits lasts as its data sheet says.
    """

    process: str
    operation: Operation
    standard_min: float
    usual: UsualTime
    curve: FittedCurve
    by_person: Mapping[str, UsualTime] = field(default_factory=dict)
    tasks: tuple[TimedTask, ...] = ()
    set_aside: tuple[TimedTask, ...] = ()
    unseen: int = 0
    is_for_the_log: bool = True


def learnt_times(shop: Shop) -> tuple[LearntTime, ...]:
    """Return what the log says of every operation of which any task was timed.

    Rounds of a rework are left out: their share of parts is too mixed to set beside one time.
    """
    every: dict[tuple[str, str], list[DoneTask]] = {}
    for done in tasks_done(shop.log):
        every.setdefault((done.task.process, done.task.operation), []).append(done)
    found = []
    for process, operation in operations_of(shop):
        timed = list(_timed(shop, operation, every.get((process, operation.name), ())))
        if timed:
            found.append(_learnt(shop, process, operation, timed))
    return tuple(found)


def operations_of(shop: Shop) -> Iterator[tuple[str, Operation]]:
    """Yield every operation as written, conditioning too, with the key of its process or set."""
    for process in shop.processes.values():
        upkeep = () if process.conditioning is None else (process.conditioning,)
        for operation in (*process.operations_written, *upkeep):
            if not operation.rework:
                yield process.key, operation
    for sold in shop.sets.values():
        yield from ((sold.key, operation) for operation in sold.operations)


def usual_time(shares: Sequence[float], *, toward: float = 1.0) -> UsualTime:
    """Return what tasks usually take, drawn toward what was to be expected.

    Args:
        shares: Each task's minutes over its standard, above 0.
        toward: The share to be expected before any was timed.
    """
    found = drawn_toward(
        math.log(toward),
        [math.log(each) for each in shares],
        sure=PRIOR_TASKS,
        spread=PRIOR_SPREAD,
        spread_sure=PRIOR_SPREAD_TASKS,
        confidence=CONFIDENCE,
    )
    return UsualTime(
        tasks=len(shares),
        noted=None if found.mean is None else math.exp(found.mean),
        share=math.exp(found.centre),
        least=math.exp(found.centre - found.off),
        most=math.exp(found.centre + found.off),
        spread=math.exp(found.spread),
    )


def _learnt(
    shop: Shop, process: str, operation: Operation, every: Sequence[tuple[DoneTask, TimedTask]]
) -> LearntTime:
    alone = not operation.attended
    timed = [t for done, t in every if not alone or end_was_seen(shop, done, t.standard_min)]
    kept = [task for task in timed if 1 / FURTHEST <= task.share <= FURTHEST][-MOST_TASKS:]
    standards = sorted(task.standard_min for task in kept or [task for _, task in every])
    return LearntTime(
        process=process,
        operation=operation,
        standard_min=standards[len(standards) // 2],
        usual=usual_time([task.share for task in kept]),
        curve=FittedCurve(tasks=0, refused=_NO_HANDS) if alone else _curve(operation, kept),
        by_person={} if alone else _by_person(kept),
        tasks=tuple(kept),
        set_aside=tuple(t for t in timed if not 1 / FURTHEST <= t.share <= FURTHEST),
        unseen=len(every) - len(timed),
        is_for_the_log=not alone or is_machine_run(shop, process, operation),
    )


def _by_person(kept: Sequence[TimedTask]) -> dict[str, UsualTime]:
    alone = [task for task in kept if len(task.people) == 1]
    by_person = {}
    for person in sorted({task.people[0] for task in alone}):
        others = usual_time([task.share for task in kept if task.people != (person,)])
        own = [task.share for task in alone if task.people == (person,)]
        by_person[person] = usual_time(own, toward=others.share)
    return by_person


def _curve(operation: Operation, kept: Iterable[TimedTask]) -> FittedCurve:
    """Return the curve of times over the standard of a first one."""
    rate = float(operation.learning_rate)
    return fitted_curve(
        [
            (f"{task.order} {task.people}", task.place, task.share * unit_share(task.place, rate))
            for task in kept
            if task.place is not None
        ]
    )


def _timed(
    shop: Shop, operation: Operation, tasks: Iterable[DoneTask]
) -> Iterator[tuple[DoneTask, TimedTask]]:
    """Yield the tasks of an operation that were done and timed, each with its standard."""
    before: dict[str, int] = {}
    for done in tasks:
        orders = {member.order for member in done.task.members}
        order = next(iter(orders)) if len(orders) == 1 else ""
        for each in orders:
            before[each] = before.get(each, 0) + 1
        place = before[order] if order else None
        minutes = noted_min(shop, operation, done)
        standard = _standard_min(shop, operation, done, place)
        if done.state == "done" and minutes is not None and standard > 0:
            task = TimedTask(
                minutes=float(minutes),
                standard_min=standard,
                place=place,
                order=order,
                people=done.people,
                entries=done.entries,
            )
            yield done, task


def standard_of(shop: Shop, operation: Operation, done: DoneTask) -> Fraction:
    """Return the minutes written for a task of such a size, whatever is learnt by repetition."""
    family = shop.moulds.get((done.task.mould or "").rpartition(" ")[0])
    if family is None:
        made = (done.task.part, done.task.process)
        family = next((f for f in shop.moulds.values() if (f.part, f.process) == made), None)
    members = size_of(operation, done, family.cavities if family is not None else 1)
    return Fraction(operation.fixed_min) + Fraction(operation.each_min) * members


def _standard_min(shop: Shop, operation: Operation, done: DoneTask, place: int | None) -> float:
    minutes = standard_of(shop, operation, done)
    rate = float(operation.learning_rate) if operation.attended else 1.0
    return float(minutes) * (unit_share(place, rate) if place is not None else 1.0)
