"""A run as the board shows it: how the search stands, and what its plan would change."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.shown import lasting
from mouldwright.planning.plan import OrderOutcome, Plan, Task
from mouldwright.usecases.board import Changes
from mouldwright.usecases.kept_run import Run, RunProgress
from mouldwright.usecases.why import Moves
from mouldwright.web.words import at_minute, count, moment, percent

MOST_SHOWN = 40
MOST_REASONS = 6
_STATES = {
    "waiting": "Waiting its turn",
    "running": "Planning",
    "done": "Planned",
    "stale": "Out of date",
    "cancelled": "Stopped",
    "impossible": "No plan can be made",
    "set aside": "It failed",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderChange:
    """An order whose finish changes.

    Attributes:
        how: "1 h 20 min later", "2 d sooner", "new", "gone".
        warning: "late by 3 h" where it would be late.
    """

    number: str
    before: str
    after: str
    how: str
    warning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangesView:
    """What a plan would change.

    Attributes:
        because: What happened that moves tasks, in sentences.
        chances: Order, how likely its day was kept before, how likely it is now, and whether that
            is less than the shop promises.
        moved: Task, from when, to when, and on which mould it is if that changes.
        more: How many more moved than are shown.
    """

    orders: tuple[OrderChange, ...]
    because: tuple[str, ...]
    chances: tuple[tuple[str, str, str, bool], ...]
    moved: tuple[tuple[str, str, str, str], ...]
    more: int
    same: int
    moved_count: int
    new: int
    gone: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RunView:
    """A run.

    Attributes:
        stands: Its state in words.
        facts: Figures of the search: name, value.
        seconds: How long it has looked, of how long.
        until: How long it looks.
    """

    id: str
    stands: str
    why: str
    ended: bool
    facts: tuple[tuple[str, str], ...]
    seconds: str
    until: str
    problems: tuple[str, ...]
    may_stop: bool
    stopping: bool


def run_view(run: Run, *, looked_s: float) -> RunView:
    """Return the view of a run that has looked for so many seconds."""
    return RunView(
        id=run.id,
        stands=_STATES[run.state],
        why=run.why,
        ended=run.ended,
        facts=() if run.progress is None else _facts(run.progress),
        until=f"{run.seconds:.0f} s at most",
        seconds=f"{min(looked_s, run.seconds):.0f} s of {run.seconds:.0f} s",
        problems=run.problems,
        may_stop=not run.ended and not run.cancel_asked,
        stopping=run.cancel_asked and not run.ended,
    )


def _facts(progress: RunProgress) -> tuple[tuple[str, str], ...]:
    late = progress.weighted_late_min
    found = [
        ("Best so far", f"{lasting(late)} late, weighted" if late else "nothing late"),
        ("Last ready in", lasting(progress.finish_min)),
    ]
    if progress.bound is not None:
        found.append(("Cannot be under", lasting(progress.bound)))
    if progress.gap is not None:
        found.append(("Gap", percent(progress.gap)))
    found.append(("Tried", count(progress.tries, "plan")))
    return tuple(found)


def changes_view(changes: Changes, plan: Plan, why: Moves) -> ChangesView:
    """Return the view of what changes."""
    zone = plan.zone
    moved = sorted(changes.moved, key=lambda pair: pair[1].start)
    return ChangesView(
        orders=tuple(_order(before, after, zone) for before, after in changes.orders),
        because=tuple(_sentence(words) for words in why.because[:MOST_REASONS]),
        chances=tuple(
            (each.order, percent(each.before), percent(each.after), each.at_risk)
            for each in changes.chances
            if each.at_risk or percent(each.before) != percent(each.after)
        ),
        moved=tuple(
            _moved(before, after, zone, why(before, after)) for before, after in moved[:MOST_SHOWN]
        ),
        more=max(0, len(moved) - MOST_SHOWN),
        same=changes.same,
        moved_count=len(moved),
        new=len(changes.new),
        gone=len(changes.gone),
    )


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _order(before: OrderOutcome | None, after: OrderOutcome | None, zone: str) -> OrderChange:
    told = after or before
    how = "new" if before is None else "no longer open"
    if before is not None and after is not None:
        later = after.finish - before.finish
        how = f"{lasting(abs(later))} {'later' if later > 0 else 'sooner'}"
    return OrderChange(
        number=told.number if told else "",
        before="–" if before is None else moment(at_minute(before.finish, zone)),
        after="–" if after is None else moment(at_minute(after.finish, zone)),
        how=how,
        warning=f"late by {lasting(after.late_min)}"
        if after is not None and after.late_min
        else "",
    )


def _moved(before: Task, after: Task, zone: str, why: str) -> tuple[str, str, str, str]:
    orders = ", ".join(dict.fromkeys(member.order for member in after.members))
    ids = [
        *(p for m in after.members for p in m.pulls),
        *(p for m in after.members for p in m.parts),
    ]
    what = f"{after.operation.capitalize()}, order {orders}"
    if ids and len(after.members) == 1:
        what += f", {'pull' if after.members[0].pulls else 'part'} {ids[0]}"
        what += " and more" if len(after.members[0].pulls or after.members[0].parts) > 1 else ""
    where = []
    if before.mould != after.mould:
        where.append(f"{after.mould} in place of {before.mould}")
    if before.people != after.people:
        where.append("other hands")
    where.append(why)
    return (
        what,
        moment(at_minute(before.start, zone)),
        moment(at_minute(after.start, zone)),
        ", ".join(where),
    )
