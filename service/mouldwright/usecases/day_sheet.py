"""One person's day by the published plan: when, what, where, what to weigh, what to mind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.hours.opening import Window, minute_of
from mouldwright.domain.part.mass import charge
from mouldwright.domain.process.mix_card import MixCard, mix_card
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import MILLION, Aging
from mouldwright.planning.plan import Plan, Task, WorkSession
from mouldwright.usecases.in_hand import InHand, in_hand, latest_starts

MOST_NEXT = 5


# No mix can be worked for longer than this.
_LONGEST_LIFE_MIN = 14 * 1440


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """Dry material to weigh for each pull beside a mix.

    Attributes:
        material: Its key.
        each_g: Grams for one pull.
        pulls: For how many pulls.
    """

    material: str
    each_g: float
    pulls: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DayTask:
    """A task, as far as it lies in the day.

    Attributes:
        place: Its place in the plan's tasks.
        start: Its first minute of the day.
        end: The minute after its last of the day.
        began_before: Whether it goes on from an earlier day.
        goes_on: Whether it goes on the next time its people are there.
        beside: Who else does it.
        mix: What to put on the scale, for a mixing task.
        moulds: Moulds that a mix is for.
        use_by: Minute by which the mix must be used up.
        weighed: What else to weigh for the pulls of the mix.
        cautions: A scale too coarse for its mix first, its own, then its materials'.
        begin_by: The last minute it may begin at, by a greatest wait or the pot life of a
            mix; None where nothing limits it, or it began before.
    """

    place: int
    task: Task
    start: int
    end: int
    began_before: bool
    goes_on: bool
    beside: tuple[str, ...]
    mix: MixCard | None
    moulds: tuple[str, ...]
    use_by: int | None
    weighed: tuple[Weighed, ...]
    cautions: tuple[str, ...]
    begin_by: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DayStep:
    """Like tasks done one straight after the other: one line of the sheet.

    Attributes:
        tasks: At least one.
    """

    tasks: tuple[DayTask, ...]

    @property
    def start(self) -> int:
        """Return the first minute."""
        return self.tasks[0].start

    @property
    def end(self) -> int:
        """Return the minute after the last."""
        return self.tasks[-1].end

    @property
    def begin_by(self) -> int | None:
        """Return the last minute it may begin, so that each of its tasks begins in time."""
        limits = (
            each.begin_by - (each.start - self.start)
            for each in self.tasks
            if each.begin_by is not None
        )
        return min(limits, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySheet:
    """A day of one person.

    Attributes:
        hours: When the person is there.
        steps: In the order of the day.
        cautions: Of all that is done in the day, each once.
        next_day: The next day with work for the person, None where there is none.
        next_steps: The first of that day.
        next_more: How many steps more that day has.
        closes: Minute at which the last of all people goes; None where nobody comes.
        tonight: What is left running or standing then.
        sessions: Those of the person that begin in the day.
    """

    person: str
    day: date
    hours: tuple[Window, ...]
    steps: tuple[DayStep, ...]
    cautions: tuple[str, ...]
    next_day: date | None
    next_steps: tuple[DayStep, ...]
    next_more: int = 0
    closes: int | None = None
    tonight: tuple[InHand, ...] = ()
    sessions: tuple[WorkSession, ...] = ()


def day_sheet(shop: Shop, plan: Plan, person: str, day: date) -> DaySheet:
    """Return a person's day.

    Raises:
        KeyError: if the shop has no such person.
    """
    return day_sheets(shop, plan, (person,), day)[0]


def day_sheets(shop: Shop, plan: Plan, people: Iterable[str], day: date) -> tuple[DaySheet, ...]:
    """Return the days of several people, what they share worked out once.

    Raises:
        KeyError: if the shop has no such person.
    """
    bounds = bounds_of(day, plan.zone)
    latest = latest_starts(shop, plan)
    closes = last_goes(shop, bounds)
    tonight = () if closes is None else left_alone(shop, plan, closes)
    found = []
    for person in people:
        tasks = tuple(
            replace(each, begin_by=None if each.began_before else latest.get(each.place))
            for each in _tasks(shop, plan, person, *bounds)
        )
        coming = (t.start for t in plan.tasks if person in t.people and t.start >= bounds[1])
        later = min(coming, default=None)
        next_day = None if later is None else _day_of(later, plan.zone)
        next_steps: tuple[DayStep, ...] = ()
        if next_day is not None:
            next_steps = _steps(_tasks(shop, plan, person, *bounds_of(next_day, plan.zone)))
        found.append(
            DaySheet(
                person=person,
                day=day,
                hours=shop.hours_of(shop.people[person]).windows(*bounds),
                steps=_steps(tasks),
                cautions=tuple(dict.fromkeys(words for each in tasks for words in each.cautions)),
                next_day=next_day,
                next_steps=next_steps[:MOST_NEXT],
                next_more=max(0, len(next_steps) - MOST_NEXT),
                closes=closes,
                tonight=tonight,
                sessions=tuple(
                    each
                    for each in plan.sessions
                    if each.person == person and bounds[0] <= each.start < bounds[1]
                ),
            )
        )
    return tuple(found)


def steps_of(shop: Shop, plan: Plan, person: str, day: date) -> tuple[DayStep, ...]:
    """Return a person's steps of a day alone, without what comes before and after them."""
    return _steps(_tasks(shop, plan, person, *bounds_of(day, plan.zone)))


def last_goes(shop: Shop, window: Window) -> int | None:
    """Return the minute at which the last of all people goes; None where nobody comes."""
    ends = (shop.hours_of(each).windows(*window) for each in shop.people.values())
    return max((end for windows in ends for _, end in windows), default=None)


def left_alone(shop: Shop, plan: Plan, at: int) -> tuple[InHand, ...]:
    """Return what runs or stands at a minute without anyone's hands in it."""
    return tuple(each for each in in_hand(shop, plan, at) if not each.is_attended)


def bounds_of(day: date, zone: str) -> Window:
    """Return the first minute of a local day, and of the day after it."""
    info = ZoneInfo(zone)
    after = day + timedelta(days=1)
    return (
        minute_of(datetime(day.year, day.month, day.day, tzinfo=info)),
        minute_of(datetime(after.year, after.month, after.day, tzinfo=info)),
    )


def _day_of(minute: int, zone: str) -> date:
    return datetime.fromtimestamp(minute * 60, ZoneInfo(zone)).date()


def _tasks(shop: Shop, plan: Plan, person: str, start: int, end: int) -> Iterator[DayTask]:
    """Yield a person's tasks of a day in order, cut to it."""
    found = [
        (at, task)
        for at, task in enumerate(plan.tasks)
        if person in task.people and any(a < end and b > start for a, b in task.spans)
    ]
    for at, _ in sorted(found, key=lambda pair: (pair[1].start, pair[1].end)):
        yield _seen(shop, plan, at, person, (start, end))


def whole_task(shop: Shop, plan: Plan, place: int) -> DayTask:
    """Return one task of a plan whole, with what is weighed for it."""
    task = plan.tasks[place]
    return _seen(shop, plan, place, "", (task.start, max(task.end, task.start + 1)))


def _seen(shop: Shop, plan: Plan, place: int, person: str, day: Window) -> DayTask:
    task = plan.tasks[place]
    spans = [(a, b) for a, b in task.spans if a < day[1] and b >= day[0]]
    operation = operation_of(shop, task)
    return DayTask(
        place=place,
        task=task,
        start=max(spans[0][0], day[0]),
        end=min(spans[-1][1], day[1]),
        began_before=task.start < day[0],
        goes_on=task.end > day[1],
        beside=tuple(each for each in task.people if each != person),
        mix=_mix(shop, task, operation),
        moulds=_moulds(plan, task) if task.mixed_g else (),
        use_by=_use_by(shop, task, operation),
        weighed=_weighed(shop, task, operation),
        cautions=cautions_of(shop, task),
    )


def _steps(tasks: Iterable[DayTask]) -> tuple[DayStep, ...]:
    """Join like tasks that follow each other at once; a mix stays alone, its card is its own."""
    steps: list[list[DayTask]] = []
    for each in tasks:
        last = steps[-1][-1] if steps else None
        if last is not None and last.end == each.start and _is_like(last, each):
            steps[-1].append(each)
        else:
            steps.append([each])
    return tuple(DayStep(tasks=tuple(step)) for step in steps)


def _is_like(one: DayTask, other: DayTask) -> bool:
    a, b = one.task, other.task
    same = (a.process, a.operation, a.part, a.people) == (b.process, b.operation, b.part, b.people)
    return same and one.mix is None and other.mix is None


def operation_of(shop: Shop, task: Task) -> Operation | None:
    """Return the operation a task does, None where the shop has it no more."""
    return shop.operation_named(task.process, task.operation)


def _mix(shop: Shop, task: Task, operation: Operation | None) -> MixCard | None:
    if operation is None or operation.material is None or not task.mixed_g:
        return None
    material = shop.materials.get(operation.material)
    if material is None or material.mix is None:
        return None
    return mix_card(material, shop.materials, task.mixed_g, resolution_g=shop.scale_step_g)


def _moulds(plan: Plan, mix: Task) -> tuple[str, ...]:
    """Return the moulds that the pulls of a mix are in, in the order they are filled."""
    after = sorted(
        (t for t in plan.tasks if t.mould and t.start >= mix.end and t.process == mix.process),
        key=lambda t: t.start,
    )
    filled: dict[tuple[str, int], str] = {}
    for task in after:
        for member in task.members:
            for pull in member.pulls:
                filled.setdefault((member.order, pull), task.mould or "")
    pulls = [(member.order, pull) for member in mix.members for pull in member.pulls]
    return tuple(dict.fromkeys(filled[pull] for pull in pulls if pull in filled))


def _use_by(shop: Shop, task: Task, operation: Operation | None) -> int | None:
    material = shop.materials.get(operation.material or "") if operation else None
    if material is None or material.mix is None:
        return None
    if material.warmth is None or shop.temperatures is None:
        return task.end + material.mix.pot_life_min
    sheet, until = material.warmth, task.end + _LONGEST_LIFE_MIN
    spans = shop.temperatures.spans(shop.zone, task.end, until)
    clock = Aging([(a, b, sheet.speed(warm)) for a, b, warm in spans])
    life = material.mix.pot_life_min * MILLION
    # The last whole minute by which no more than the pot life has gone by.
    ends = clock.when(task.end, life)
    if ends is None:
        return until
    return ends if clock.lived(ends) - clock.lived(task.end) <= life else ends - 1


def _weighed(shop: Shop, task: Task, operation: Operation | None) -> tuple[Weighed, ...]:
    """Return what is loaded with the mix and not mixed, such as fibre, for each pull."""
    if operation is None or operation.material is None or task.part not in shop.parts:
        return ()
    process = shop.processes[task.process]
    mixed = {each.material for each in process.operations if each.material}
    families = shop.families(task.part, task.process)
    cavities = families[0].cavities if families else 1
    try:
        charged = charge(shop, shop.parts[task.part], process)
    except MouldwrightError:
        # The plan holds although the part has been changed meanwhile; nothing is guessed.
        return ()
    pulls = sum(len(member.pulls) or len(member.parts) for member in task.members)
    return tuple(
        Weighed(material=each.material, each_g=each.loaded_g * cavities, pulls=pulls)
        for each in charged.constituents
        if each.material not in mixed and not each.metres
    )


def room_words(shop: Shop, task: Task) -> str:
    """Return the room a task needs and its state: "Bench room (wet)"; empty for none."""
    operation = operation_of(shop, task)
    room = shop.rooms.get(operation.in_room or "") if operation else None
    return f"{room.title} ({operation.room_state})" if operation and room else ""


def cautions_of(shop: Shop, task: Task) -> tuple[str, ...]:
    """Return what to mind at a task: its own cautions, its process's, those of what it mixes.

    First of all, that the scale is too coarse for so small a mix.
    """
    operation, process = operation_of(shop, task), shop.processes.get(task.process)
    mix = _mix(shop, task, operation)
    said = [words] if mix and (words := mix.too_coarse(shop.materials)) else []
    said += [
        *(operation.told_cautions if operation else ()),
        *(process.cautions if process else ()),
    ]
    material = shop.materials.get(operation.material or "") if operation else None
    if material is not None:
        said += material.cautions
        for component in material.mix.parts if material.mix else ():
            if component in shop.materials:
                said += shop.materials[component].cautions
    return tuple(dict.fromkeys(said))
