"""Work that runs by itself: whether its end was seen, and whether a machine's own pace sets it.

What runs without people is noted as ended when somebody looks, which may be hours later. Its
minutes count only where the bench was open from when it was due until it was noted.
"""

from __future__ import annotations

from mouldwright.domain.hours.clock import intersect, open_minutes
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.quantity import whole_up
from mouldwright.domain.record.done import DoneTask
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import PrintStructure


def is_machine_run(shop: Shop, process: str, operation: Operation) -> bool:
    """Return whether a machine's own pace sets how long an operation lasts: a print.

    What sets or is heated lasts as long as its data sheet says, and so does all else that waits.
    """
    waits = operation.heat is not None or operation.cures is not None
    if operation.attended or waits or operation.per == "conditioning":
        return False
    made = shop.processes.get(process)
    is_print = made is not None and isinstance(made.structure, PrintStructure)
    return is_print or operation.failures_per_hour > 0


def end_was_seen(shop: Shop, done: DoneTask, standard_min: float) -> bool:
    """Return whether somebody could look from when a task was due until its end was noted."""
    if done.began is None or done.ended is None:
        return False
    due, noted = minute_of(done.began) + whole_up(standard_min), minute_of(done.ended)
    if noted <= due:
        return True
    late = ((due, noted),)
    return open_minutes(intersect(shop.hours.windows(due, noted), late)) == noted - due
