"""What a bench works by at a moment: the plan that holds, and what is pinned in it."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_pin import Pin
from mouldwright.usecases.promise_ports import PromiseReading


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """The plan that holds, and the pins; a date is planned beside both, as the bench will.

    Attributes:
        version: Of the plan; None where none holds.
        plan: The plan; None with it.
        pins: What is pinned, whether a plan holds or not.
    """

    version: int | None = None
    plan: Plan | None = None
    pins: tuple[Pin, ...] = ()

    @property
    def pinned(self) -> tuple[Task, ...]:
        """Return the pinned tasks."""
        return tuple(task for pin in self.pins for task in pin.tasks)


NOTHING_HELD = Held()


def held_now(unit: PromiseReading) -> Held:
    """Return what holds in the shop of a unit."""
    pins = unit.pins.all()
    try:
        kept = unit.plans.newest()
    except Unknown:
        return Held(pins=pins)
    return Held(version=kept.version, plan=kept.plan, pins=pins)


def held_then(unit: PromiseReading, version: int | None, pins: tuple[str, ...]) -> Held:
    """Return what held when a quote was made.

    Args:
        unit: Reads the shop.
        version: Of the plan that held; None where none did.
        pins: Ids of what was pinned.

    Raises:
        Unknown: if there is no such plan or pin.
    """
    pinned = tuple(unit.pins.at(pin) for pin in pins)
    if version is None:
        return Held(pins=pinned)
    return Held(version=version, plan=unit.plans.at(version).plan, pins=pinned)
