"""The chain behind a finish: stretch by stretch from an order's last minute to its origin.

From the last task back, each stretch is a task or a wait; where one ends, the next one
earlier begins. Of all that a task waited for, what was over last is followed. Where two
were over at once, the one whose own chain leaves the least time unaccounted for. A wait for an
opening that the order's own work had to wait for too is told as its own, whatever other
order's work comes first once it is open.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mouldwright.planning.explaining.causes import Causes
from mouldwright.planning.explaining.reading import PlanReader
from mouldwright.planning.reasons import Cause, Chain, Link, LinkKind


class Chains:
    """Finds the chains of one plan."""

    def __init__(
        self, reader: PlanReader, causes: Causes, *, look_ahead: int | None = None
    ) -> None:
        """Look things up in that reader.

        ``look_ahead`` is how many tasks further back are looked at to choose between two that
        were over at once; None to look as far as there are any.
        """
        self._reader, self._causes, self._look_ahead = reader, causes, look_ahead
        self._best: dict[int, tuple[int, Cause]] = {}

    def of(self, order: str, *, most: int | None = None) -> Chain:
        """Return the chain of an order; at most so many tasks of it where a number is given.

        Raises:
            KeyError: if the plan has no such order.
        """
        outcome = next(o for o in self._reader.plan.orders if o.number == order)
        places = self._reader.of_order.get(order, ())
        tasks = self._reader.tasks
        links: tuple[Link, ...] = ()
        if places:
            last = max(places, key=lambda at: (tasks[at].end, at))
            links = tuple(self._links(order, last, most))
        return Chain(
            order=order,
            finish=outcome.finish,
            due=outcome.due,
            origin=links[-1].start if links else outcome.finish,
            links=links,
        )

    def _links(self, order: str, last: int, most: int | None) -> Iterator[Link]:
        tasks = self._reader.tasks
        at: int | None = last
        until = tasks[last].end
        told = 0
        kept_from: int | None = None
        while at is not None and (most is None or told < most):
            task, told = tasks[at], told + 1
            cause = self.cause(at)
            own = not task.members or any(m.order == order for m in task.members)
            if own:
                kept_from = at if task.members else None
            elif kept_from is not None:
                cause = self._same_wait(at, cause, kept_from)
            yield from self._worked(at, until, cause, own=own)
            until = task.start
            yield from self._waits(at, cause)
            at = cause.task
            if at is not None:
                # What was near a task that waited may have gone on a little beside this one.
                until = min(until, tasks[at].end, cause.since)

    def _same_wait(self, at: int, cause: Cause, kept_from: int) -> Cause:
        """Return why another order's task began no sooner, as the order that is kept sees it.

        Where that task waited for an opening, and the order's own that is kept by it would have
        waited for the same one, it is what the own task follows that counts: without the other
        order only its minutes after the opening would be saved.
        """
        start = self._reader.tasks[at].start
        geared = start - max(
            (self._reader.gears_up(at, person) for person in self._reader.tasks[at].people),
            default=0,
        )
        if not cause.since < cause.fits or cause.through is not None:
            return cause
        same = [
            own
            for own in self._causes.work_before(kept_from)
            if own.task is not None
            and own.since < geared <= own.fits
            and own.since <= start
            and self._reader.tasks[own.task].start < start
        ]
        if not same:
            return cause
        last = max(same, key=lambda own: own.since)
        return replace(last, fits=start, slack_min=0, through=kept_from)

    def _worked(self, at: int, until: int, cause: Cause, *, own: bool) -> Iterator[Link]:
        """Yield what is worked of a task before a minute, the last first, pauses told apart."""
        task = self._reader.tasks[at]
        end = until
        for start, over in reversed(task.spans):
            if start >= until and start > task.start:
                continue
            if over < end:
                yield Link(start=over, end=end, kind="closed", waits=at, own=own)
            is_first = start == task.start
            yield Link(
                start=start,
                end=min(over, end),
                kind="hands" if task.people else "alone",
                task=at,
                cause=cause if is_first else None,
                own=own,
            )
            end = start

    def _waits(self, at: int, cause: Cause) -> Iterator[Link]:
        """Yield the waits between a task and what it waited for, the last first."""
        reader, task = self._reader, self._reader.tasks[at]
        floor = min(cause.ended, cause.since)
        if cause.task is not None:
            floor = min(floor, reader.tasks[cause.task].end)
        gear = max((reader.gears_up(at, person) for person in task.people), default=0)
        geared = max(task.start - gear, floor)
        fits = min(max(cause.fits - gear, floor), geared)
        # What busy hands were free from counts their own going in already.
        since = cause.since - gear if cause.kind == "hands" else cause.since
        since = min(max(since, floor), fits)
        over = min(max(cause.ended, floor), since)
        routed = cause.through is None or cause.kind in ("follows", "age")
        asked: LinkKind = "least wait" if routed else "closed"
        edges: tuple[tuple[int, int, LinkKind], ...] = (
            (geared, task.start, "session"),
            (fits, geared, "not forced"),
            (since, fits, "closed"),
            (over, since, asked),
            (floor, over, "session"),
        )
        for begin, end, kind in edges:
            if begin < end:
                behind = at if cause.through is None else cause.through
                yield Link(start=begin, end=end, kind=kind, waits=behind)

    def cause(self, at: int) -> Cause:
        """Return why a task begins no sooner: what was over last of all it waited for."""
        # Depth first without recursion: a chain may be thousands of tasks long. What a task
        # waited for stands before it, so that none comes round to itself.
        pending = [at]
        while pending:
            place = pending[-1]
            causes = self._causes.of(place)
            unknown = [
                cause.task
                for cause in causes
                if cause.task is not None and cause.task not in self._best
            ]
            if place in self._best:
                pending.pop()
            elif self._look_ahead is not None and len(pending) > self._look_ahead:
                self._best[place] = (causes[0].slack_min, causes[0])
                pending.pop()
            elif unknown and not any(self._unforced(c) == 0 for c in causes):
                pending.append(unknown[0])
            else:
                chosen = min(causes, key=self._unforced)
                self._best[place] = (chosen.slack_min + self._unforced(chosen), chosen)
                pending.pop()
        return self._best[at][1]

    def _unforced(self, cause: Cause) -> int:
        """Return how much of the chain behind a cause nothing forces, as far as it is known."""
        if cause.task is None:
            return 0
        known = self._best.get(cause.task)
        return 1 << 40 if known is None else known[0]
