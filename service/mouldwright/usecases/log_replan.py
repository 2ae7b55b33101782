"""A plan made anew by itself, once something was noted that the one that holds knows nothing of."""

from __future__ import annotations

from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.planning.plan import Plan
from mouldwright.usecases.promise_ports import PromiseWriting
from mouldwright.usecases.runs import ask_for_plan
from mouldwright.usecases.services import Services


def plan_again(unit: PromiseWriting, services: Services, plan: Plan | None, why: str) -> None:
    """Queue a plan of all that is booked; one that waits already will do.

    It is published as it ends, like one asked for by a booking. Where nobody has asked for a plan
    yet, none is made.

    Args:
        unit: Keeps the run; commits nothing.
        services: The clock, and chance for its name.
        plan: The plan that holds; None where there is none.
        why: What happened, in words.
    """
    if plan is not None:
        ask_for_plan(unit, why=why, now=services.clock(), chance=services.chance)


def what_happened(entry: LogEntry) -> str:
    """Return what an entry tells, in few words: "cure stopped on main-pressed 2: heater"."""
    task = entry.task
    cause = f": {entry.cause}" if entry.cause else ""
    if entry.what is Happening.PERSON_AWAY:
        return f"{', '.join(entry.people)} away"
    if entry.what in (Happening.MOULD_LOST, Happening.MOULD_RETIRED):
        return f"{entry.what.value}: {entry.mould}{cause and ', '}{entry.cause}"
    if entry.material is not None:
        return f"{entry.what.value}: {entry.material}"
    if task is not None:
        on = f" on {task.mould}" if task.mould else ""
        return f"{task.operation} {entry.what.value}{on}{cause}"
    orders = ", ".join(dict.fromkeys(member.order for member in entry.members))
    return f"{entry.what.value}, order {orders}{cause}"
