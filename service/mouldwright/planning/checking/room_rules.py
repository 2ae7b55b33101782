"""Rules about rooms: one state at a time, and settled before the next."""

from __future__ import annotations

from collections import defaultdict

from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.plan import Task


def judge_rooms(ledger: Ledger) -> None:
    """Add every complaint about rooms.

    Work in a room keeps its state from its start to its end, pauses included. Of two
    pieces of work in different states the later starts no sooner than the end of the
    earlier plus what that one's state takes to settle.
    """
    worked: dict[str, list[tuple[int, int, str, Task]]] = defaultdict(list)
    for task in ledger.plan.tasks:
        operation = ledger.operation(task)
        if operation is not None and operation.in_room and task.start < task.end:
            state = operation.room_state or ""
            worked[operation.in_room].append((task.start, task.end, state, task))
    for key, uses in worked.items():
        _one_room(ledger, key, sorted(uses, key=lambda use: use[:3]))


def _one_room(ledger: Ledger, key: str, uses: list[tuple[int, int, str, Task]]) -> None:
    room = ledger.shop.rooms[key]
    settles = {state.name: state.settle_min for state in room.states}
    last: dict[str, Task] = {}
    for start, _, state, task in uses:
        for other, before in last.items():
            own = settles[other]
            ready = before.end + (room.settle_min if own is None else own)
            both = ledger.is_running(before) and ledger.is_running(task)
            if other != state and start < ready and not both:
                ledger.complain(
                    task,
                    f"needs {key} in the state {state}, and it is {ready - start} min too soon "
                    f"after {ledger.what(before)} ({other})",
                )
        if state not in last or task.end > last[state].end:
            last[state] = task
