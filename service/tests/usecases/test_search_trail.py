"""The trail of a search: short, and true to how it went."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from mouldwright.usecases.search_trail import MOST_STEPS, Trail


@dataclass
class Said:
    best: tuple[int, int, int]
    bound: int | None = None


class Clock:
    def __init__(self) -> None:
        self.now = datetime(2027, 3, 1, 8, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


def test_only_what_is_better_is_noted_with_its_second() -> None:
    clock = Clock()
    trail = Trail(clock)
    for best, bound in (((5, 9, 1), None), ((5, 9, 1), None), ((4, 9, 1), None), ((4, 9, 1), 3)):
        clock.now += timedelta(seconds=1.5)
        trail.note(Said(best, bound))
    assert [(s.seconds, s.weighted_late_min, s.bound) for s in trail.steps] == [
        (1.5, 5, None),
        (4.5, 4, None),
        (6.0, 4, 3),
    ]


def test_a_long_search_keeps_its_first_and_its_last_and_stays_short() -> None:
    clock = Clock()
    trail = Trail(clock)
    for at in range(1000):
        clock.now += timedelta(seconds=0.1)
        trail.note(Said((5000 - at, 1, 1)))
        assert len(trail.steps) <= MOST_STEPS
    assert trail.steps[0].weighted_late_min == 5000
    assert trail.steps[-1].weighted_late_min == 4001
    seconds = [step.seconds for step in trail.steps]
    assert seconds == sorted(seconds)
