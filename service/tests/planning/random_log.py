"""A bench that keeps to a plan for a while, with mishaps, and writes down what happened."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from written_log import BenchLog, logged

from mouldwright.domain.record.log import Happening, LoggedMember
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task

Work = tuple[str, int]


def lived(shop: Shop, plan: Plan, until: int, random: Random, log: BenchLog) -> None:
    """Write down what happened of a plan up to a minute.

    Everybody and everything takes its tasks in the plan's order. Tasks begin late now and then
    and take longer or less; some are stopped, pulls and parts are scrapped or seconds, moulds
    are lost, people fall sick. What follows on something that did not happen does not happen.

    Args:
        shop: What the plan is of.
        plan: What the bench means to do.
        until: Minutes since the epoch; nothing later is written down.
        random: Draws the mishaps.
        log: Where it is written down.
    """
    known = {(e.task.operation, e.task.members, e.task.mould) for e in log.entries if e.task}
    begun = {
        _key(task)
        for task in plan.tasks
        if task.start < plan.now
        or (
            (task.members and (task.operation, logged(task).members, task.mould) in known)
            and task.start == plan.now
        )
    }
    ends = {name: t.end for t in plan.tasks if t.start < plan.now for name in _needs(shop, t)}
    # What waits for something that has not happened, or never will.
    idle: set[object] = set()
    left = {_key(task): task for task in plan.tasks}
    for task in sorted(plan.tasks, key=lambda t: (t.start, t.end)):
        if _key(task) in begun:
            continue
        needs = _needs(shop, task)
        if idle & needs:
            idle |= needs
            continue
        start = max([task.start, *(ends.get(name, 0) for name in needs)])
        start += random.choice([0, 0, 0, 0, 7]) if task.people else 0
        length = task.end - task.start
        end = start + length
        if task.people:
            end = start + max(1, round(length * random.choice([1, 1, 1, 0.8, 1.3])))
        if start > until:
            idle |= needs
            continue
        log.started(task, start - log.now)
        left.pop(_key(task))
        ends.update(dict.fromkeys(needs, end))
        if end > until:
            idle |= needs
            continue
        mishap = random.random()
        if mishap < 0.05:
            log.stopped(task, end - log.now, "it went wrong")
            idle |= needs
            continue
        log.finished(task, end - log.now)
        if mishap < 0.12 and len(task.members) == 1:
            _spoil(task, end, random, log)
            idle |= _works(task)
        elif mishap < 0.15 and task.mould is not None and _spare(shop, task.mould):
            log.note(Happening.MOULD_LOST, end - log.now, mould=task.mould, cause="stuck")
            idle |= {task.mould, *_works(task)}
    if random.random() < 0.3:
        person = random.choice(sorted(shop.people))
        log.note(Happening.PERSON_AWAY, until - log.now, people=(person,))


def _key(task: Task) -> object:
    return task.process, task.operation, task.members, task.mould, task.members or task.start


def _needs(shop: Shop, task: Task) -> set[object]:
    """Return what a task must have to itself: people, mould, units without room, pulls, parts."""
    rooms = {key for key, station in shop.stations.items() if station.room is not None}
    units = {unit for unit in task.stations if unit.rpartition(" ")[0] not in rooms}
    return {*task.people, *units, *({task.mould} - {None}), *_works(task)}


def _works(task: Task) -> set[Work]:
    return {
        (f"{member.order} {kind}", number)
        for member in task.members
        for kind, numbers in (("pull", member.pulls), ("part", member.parts))
        for number in numbers
    }


def _spoil(task: Task, end: int, random: Random, log: BenchLog) -> None:
    what = random.choice([Happening.SCRAPPED, Happening.SCRAPPED, Happening.SECOND])
    member = task.members[0]
    whole = LoggedMember(order=member.order, pulls=member.pulls, parts=member.parts)
    one = whole if random.random() < 0.7 else replace(whole, parts=whole.parts[:1])
    log.note(what, end - log.now, members=(one,), cause="voids")


def _spare(shop: Shop, mould: str) -> bool:
    """Return whether another mould serves beside one, or can be made."""
    family = shop.moulds.get(mould.rpartition(" ")[0])
    return family is not None and (len(family.moulds) > 1 or family.made_by is not None)
