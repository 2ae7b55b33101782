"""What was learnt at the bench as its sheet shows it: changes to take, and what they rest on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from mouldwright.domain.record.fitted_curve import FittedCurve
from mouldwright.domain.record.learnt_changes import LearntAtBench, LearntChange
from mouldwright.domain.record.learnt_failures import LearntFailures
from mouldwright.domain.record.learnt_losses import LearntLoss
from mouldwright.domain.record.learnt_times import LearntTime, UsualTime
from mouldwright.domain.record.learnt_yields import LearntYield
from mouldwright.domain.shop import Shop
from mouldwright.web.view_models.quote import title_of, way_of
from mouldwright.web.words import count, figure, percent


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """A change the log speaks for.

    Attributes:
        key: By which it is taken.
        figures: What, as it stands, as it would be.
        note: What to know before taking it.
        entries: Numbers of the log's entries, in words.
    """

    key: str
    title: str
    figures: tuple[tuple[str, str, str], ...]
    why: str
    note: str
    evidence: int
    entries: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeRow:
    """One line of the table of times: all hands together, or one person's."""

    operation: str
    who: str
    tasks: int
    standard: str
    noted: str
    usual: str
    within: str
    is_all: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessTimes:
    """The times and curves of one process."""

    key: str
    title: str
    rows: tuple[TimeRow, ...]
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class YieldRow:
    """One line of the table of yields."""

    process: str
    operation: str
    tried: str
    scrapped: int
    standard: str
    rate: str
    within: str
    seconds: str
    second_standard: str
    second: str
    second_within: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FailureRow:
    """One line of the table of failures; rates are of a hundred hours."""

    process: str
    operation: str
    runs: int
    failed: int
    hours: str
    standard: str
    rate: str
    within: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LossRow:
    """One line of the table of what stays behind of a mix, in grams."""

    mix: str
    cups: int
    set_aside: int
    standard: str
    noted: str
    usual: str
    within: str
    spread: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LearntView:
    """All of the sheet."""

    changes: tuple[ChangeRow, ...]
    declined: tuple[ChangeRow, ...]
    times: tuple[ProcessTimes, ...]
    yields: tuple[YieldRow, ...]
    failures: tuple[FailureRow, ...]
    losses: tuple[LossRow, ...]


_FIGURES = {
    "attended_min": ("Minutes of people", "min"),
    "attended_each_min": ("Minutes of people for each besides", "min"),
    "unattended_min": ("Minutes by itself", "min"),
    "unattended_each_min": ("Minutes by itself for each besides", "min"),
    "learning_rate": ("Time at each doubling", "%"),
    "good_rate": ("Passes", "%"),
    "failures_per_hour": ("Failures an hour", ""),
    "second_rate": ("Comes out as seconds", "%"),
    "lost_g": ("Lost each mix", "g"),
}


def learnt_view(
    shop: Shop, found: LearntAtBench, declined: Iterable[LearntChange] = ()
) -> LearntView:
    """Return what was learnt at the bench, to be read."""
    processes = dict.fromkeys(learnt.process for learnt in found.times)
    return LearntView(
        changes=tuple(_change(shop, found, change) for change in found.changes),
        declined=tuple(_change(shop, found, change) for change in declined),
        times=tuple(
            _times(shop, key, [t for t in found.times if t.process == key]) for key in processes
        ),
        yields=tuple(_yield(shop, each) for each in found.yields),
        failures=tuple(_failures(shop, each) for each in found.failures),
        losses=tuple(_loss(shop, each) for each in found.losses),
    )


def _change(shop: Shop, found: LearntAtBench, change: LearntChange) -> ChangeRow:
    figures = tuple(
        (_FIGURES[name][0], _shown(name, was), _shown(name, change.proposed[name]))
        for name, was in change.was.items()
    )
    note = ""
    if change.kind == "learning":
        note = (
            "Taken, the minutes are those of the first of an order. Costs go down the curve; "
            "a plan gives each as long as the first."
        )
    entries = ", ".join(str(number) for number in change.entries[-12:])
    more = len(change.entries) - 12
    return ChangeRow(
        key=change.key,
        title=(
            f"what is lost of {shop.material_title(change.material)}"
            if change.material
            else f"{change.operation}, {_title(shop, change.process)}"
        ),
        figures=figures,
        why=_why(found, change),
        note=note,
        evidence=change.evidence,
        entries=f"{entries} and {more} before" if more > 0 else entries,
    )


def _why(found: LearntAtBench, change: LearntChange) -> str:
    if change.kind == "yield":
        tried = next(y for y in found.yields if _is_of(change, y))
        told = f"{tried.scrapped} of {tried.tried} {tried.operation.good_rate_per}s were scrapped"
        return f"{told}, {count(tried.seconds, 'second')} besides." if tried.seconds else f"{told}."
    if change.kind == "failures":
        ran = next(f for f in found.failures if _is_of(change, f))
        return f"{ran.failed} of {count(ran.runs, 'run')} failed, in {figure(ran.hours)} hours."
    if change.kind == "loss":
        lost = next(each for each in found.losses if each.material == change.material)
        return (
            f"{figure(lost.usual.noted_g or 0)} g stayed behind on the mean of "
            f"{count(lost.usual.cups, 'cup')}, give or take {figure(lost.usual.spread_g)} g."
        )
    timed = next(t for t in found.times if _is_of(change, t))
    standard = timed.standard_min
    return (
        f"The standard’s {figure(standard)} min were {figure(standard * (timed.usual.noted or 1))} "
        f"min in the last {count(timed.usual.tasks, 'time')} it was noted."
    )


def _is_of(change: LearntChange, learnt: LearntTime | LearntYield | LearntFailures) -> bool:
    return (learnt.process, learnt.operation.name) == (change.process, change.operation)


def _times(shop: Shop, key: str, found: list[LearntTime]) -> ProcessTimes:
    return ProcessTimes(
        key=key,
        title=_title(shop, key),
        rows=tuple(row for learnt in found for row in _rows(shop, learnt)),
        said=tuple(sentence for learnt in found for sentence in _said(learnt)),
    )


def _rows(shop: Shop, learnt: LearntTime) -> Iterator[TimeRow]:
    standard = learnt.standard_min
    who = "all hands" if learnt.operation.attended else "by itself"
    yield _row(learnt.operation.name, who, standard, learnt.usual, is_all=True)
    for key, usual in learnt.by_person.items():
        person = shop.people.get(key)
        name = key if person is None else person.title
        yield _row(learnt.operation.name, name, standard, usual, is_all=False)


def _row(operation: str, who: str, standard: float, usual: UsualTime, *, is_all: bool) -> TimeRow:
    return TimeRow(
        operation=operation,
        who=who,
        tasks=usual.tasks,
        standard=figure(standard),
        noted="–" if usual.noted is None else figure(usual.noted * standard),
        usual=figure(usual.share * standard),
        within=f"{figure(usual.least * standard)} to {figure(usual.most * standard)}",
        is_all=is_all,
    )


def _said(learnt: LearntTime) -> Iterator[str]:
    name = learnt.operation.name
    if learnt.set_aside:
        yield (
            f"{name}: {count(len(learnt.set_aside), 'task')} set aside, noted with what cannot be "
            "a time of work. Note a start when it starts and an end when it ends."
        )
    if learnt.unseen:
        yield (
            f"{name}: {count(learnt.unseen, 'task')} left out, as nobody was there to see "
            f"{'it' if learnt.unseen == 1 else 'them'} end."
        )
    if not learnt.is_for_the_log:
        yield f"{name}: shown alone. It lasts as its data sheet says, whatever the log tells."
    if learnt.operation.attended:
        yield f"{name}, with repetition: {_curve(learnt.curve)}"


def _curve(curve: FittedCurve) -> str:
    if curve.rate is None or curve.least is None or curve.most is None:
        return curve.refused[:1].lower() + curve.refused[1:]
    told = (
        f"{percent(curve.rate)} of the time at each doubling within an order, "
        f"{percent(curve.least)} to {percent(curve.most)} with 95 % confidence "
        f"({count(curve.tasks, 'task')})"
    )
    return f"{told}." if curve.is_sure else f"{told}: not to be told from none."


def _yield(shop: Shop, learnt: LearntYield) -> YieldRow:
    told = learnt.has_seconds
    return YieldRow(
        process=_title(shop, learnt.process),
        operation=learnt.operation.name,
        tried=count(learnt.tried, learnt.operation.good_rate_per),
        scrapped=learnt.scrapped,
        standard=percent(learnt.operation.good_rate),
        rate=percent(learnt.rate),
        within=f"{percent(learnt.least)} to {percent(learnt.most)}",
        seconds=str(learnt.seconds),
        second_standard=percent(learnt.operation.second_rate),
        second=percent(learnt.second) if told else "–",
        second_within=(
            f"{percent(learnt.second_least)} to {percent(learnt.second_most)}" if told else "–"
        ),
    )


def _failures(shop: Shop, learnt: LearntFailures) -> FailureRow:
    return FailureRow(
        process=_title(shop, learnt.process),
        operation=learnt.operation.name,
        runs=learnt.runs,
        failed=learnt.failed,
        hours=figure(learnt.hours),
        standard=figure(float(learnt.operation.failures_per_hour) * 100),
        rate=figure(learnt.rate * 100),
        within=f"{figure(learnt.least * 100)} to {figure(learnt.most * 100)}",
    )


def _loss(shop: Shop, learnt: LearntLoss) -> LossRow:
    usual = learnt.usual
    return LossRow(
        mix=shop.material_title(learnt.material),
        cups=usual.cups,
        set_aside=learnt.set_aside,
        standard=figure(float(learnt.standard_g)),
        noted="–" if usual.noted_g is None else figure(usual.noted_g),
        usual=figure(usual.usual_g),
        within=f"{figure(usual.least_g)} to {figure(usual.most_g)}",
        spread=figure(usual.spread_g),
    )


def _title(shop: Shop, key: str) -> str:
    return way_of(shop, key) if key in shop.processes else title_of(shop, key)


def _shown(name: str, value: Decimal) -> str:
    unit = _FIGURES[name][1]
    return f"{value * 100:.3g} %" if unit == "%" else f"{value.normalize():f} {unit}".rstrip()
