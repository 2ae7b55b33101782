"""The tables of what the log teaches: times by step and person, what passes, fails and is lost."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.domain.record.learnt_failures import learnt_failures
from mouldwright.domain.record.learnt_losses import learnt_losses
from mouldwright.domain.record.learnt_times import LearntTime, UsualTime, learnt_times
from mouldwright.domain.record.learnt_yields import learnt_yields
from mouldwright.domain.shop import Shop
from mouldwright.usecases.tables.sheet import Cell, Column, listed, number, text, whole

TIMES: tuple[Column, ...] = (
    text("process", "key of the process or set"),
    text("operation", "the step"),
    text("person", "key of who did it alone; empty for all hands together"),
    whole("tasks", "that were timed and count"),
    number("standard_min", "of a task such as those noted"),
    number("noted_min", "of those tasks alone"),
    number("usual_min", "drawn toward the standard, or the others, while they are few"),
    number("least_min", "with 90 % confidence the usual time lies from here"),
    number("most_min", "to here"),
    whole("set_aside", "tasks noted with what cannot be a time of work"),
    whole("unseen", "tasks without people that ended when nobody could look"),
)
YIELDS: tuple[Column, ...] = (
    text("process", "key of the process or set"),
    text("operation", "the step"),
    text("per", "what its rate counts: part or pull"),
    whole("tried", "that went through it"),
    whole("scrapped", "of those, in it"),
    whole("seconds", "of those, by it"),
    number("standard", "share that should pass as good"),
    number("passes", "share, drawn toward the standard while they are few"),
    number("least", "with 90 % confidence it lies from here"),
    number("most", "to here"),
    number("second_standard", "share that should come out as seconds"),
    number("second", "share that does, drawn toward it while they are few"),
    number("second_least", "with 90 % confidence it lies from here"),
    number("second_most", "to here"),
    text("entries", "of the log, that scrapped or made seconds"),
)

FAILURES: tuple[Column, ...] = (
    text("process", "key of the process"),
    text("operation", "the step"),
    whole("runs", "that came through or failed"),
    whole("failed", "of those"),
    number("hours", "that they ran, as written"),
    number("standard", "failures in an hour, as written"),
    number("per_hour", "failures in an hour, drawn toward the standard while they are few"),
    number("least", "with 90 % confidence it lies from here"),
    number("most", "to here"),
    text("entries", "of the log, that tell of those that failed"),
)

LOSSES: tuple[Column, ...] = (
    text("material", "key of the mix"),
    whole("cups", "that were weighed when they were done with, and count"),
    whole("set_aside", "of mixes larger than their work needed"),
    number("standard_g", "lost each mix, as written"),
    number("noted_g", "mean of those cups alone"),
    number("usual_g", "drawn toward the standard while they are few"),
    number("least_g", "with 90 % confidence it lies from here"),
    number("most_g", "to here"),
    number("spread_g", "two cups in three lie within so much of it"),
    text("entries", "of the log, that it rests on"),
)


def time_rows(shop: Shop) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for all hands together and for each person, by step."""
    return tuple(row for learnt in learnt_times(shop) for row in _times(learnt))


def yield_rows(shop: Shop) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each step that anything went through."""
    return tuple(
        (
            each.process,
            each.operation.name,
            each.operation.good_rate_per,
            each.tried,
            each.scrapped,
            each.seconds,
            float(each.operation.good_rate),
            round(each.rate, 4),
            round(each.least, 4),
            round(each.most, 4),
            float(each.operation.second_rate),
            round(each.second, 4),
            round(each.second_least, 4),
            round(each.second_most, 4),
            listed(each.entries),
        )
        for each in learnt_yields(shop)
    )


def failure_rows(shop: Shop) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each step that a machine does by itself and that anything went through."""
    return tuple(
        (
            each.process,
            each.operation.name,
            each.runs,
            each.failed,
            round(each.hours, 2),
            float(each.operation.failures_per_hour),
            round(each.rate, 6),
            round(each.least, 6),
            round(each.most, 6),
            listed(each.entries),
        )
        for each in learnt_failures(shop)
    )


def loss_rows(shop: Shop) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each mix of which a cup was weighed."""
    return tuple(
        (
            each.material,
            each.usual.cups,
            each.set_aside,
            float(each.standard_g),
            None if each.usual.noted_g is None else round(each.usual.noted_g, 2),
            round(each.usual.usual_g, 2),
            round(each.usual.least_g, 2),
            round(each.usual.most_g, 2),
            round(each.usual.spread_g, 2),
            listed(each.entries),
        )
        for each in learnt_losses(shop)
    )


def _times(learnt: LearntTime) -> Iterator[tuple[Cell, ...]]:
    yield (*_row(learnt, "", learnt.usual), len(learnt.set_aside), learnt.unseen)
    for person, usual in learnt.by_person.items():
        yield (*_row(learnt, person, usual), None, None)


def _row(learnt: LearntTime, person: str, usual: UsualTime) -> tuple[Cell, ...]:
    standard = learnt.standard_min
    return (
        learnt.process,
        learnt.operation.name,
        person or None,
        usual.tasks,
        round(standard, 2),
        None if usual.noted is None else round(usual.noted * standard, 2),
        round(usual.share * standard, 2),
        round(usual.least * standard, 2),
        round(usual.most * standard, 2),
    )
