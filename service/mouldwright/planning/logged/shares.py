"""Who passes by what is done to a share of the parts, once the log says who did."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.planning.logged.reading import LogRead
from mouldwright.planning.logged.starts import Outlook
from mouldwright.planning.plan import Task
from mouldwright.planning.routing import PART, Step


def as_told(
    steps: Sequence[Step],
    planned: Sequence[frozenset[int]],
    found: Outlook,
    read: LogRead,
    running: Sequence[Task],
) -> tuple[frozenset[int], ...]:
    """Return, for each step, what of a lot it is not done to.

    What went through a step was not passed by; nor is what was found to need mending, at the
    first round of it. What has gone past it without is; so is, once the log names any that need
    mending, what was looked at and is not among them. Of the rest as many go through it as was
    planned at first; of what was begun to make good a loss, none.

    Args:
        steps: Of the routing.
        planned: As planned for the units begun at first.
        found: How the piece stands.
        read: The log.
        running: Tasks under way.
    """
    piece = found.piece
    needs = {
        place
        for part in read.reworked.get(piece.order, ())
        if (place := piece.numbers.place_of_part(part)) is not None
    }
    skips = []
    for step, passing in zip(steps, planned, strict=True):
        if step.operation.is_for_all:
            skips.append(frozenset[int]())
            continue
        through = _through(found, step, running)
        each = 1 if step.level == PART else piece.cavities
        count = piece.units * piece.cavities // each
        skipped = set()
        for index in range(found.units * piece.cavities // each):
            parts = {divmod(index * each + which, piece.cavities) for which in range(each)}
            if index in through or (step.operation.round_number <= 1 and parts & needs):
                continue
            seen = _looked_at(steps, step) if needs else step.index + 1
            past = all(found.furthest.get(part, -1) >= seen for part in parts)
            if past or index >= count or index in passing:
                skipped.add(index)
        skips.append(frozenset(skipped))
    return tuple(skips)


def _looked_at(steps: Sequence[Step], step: Step) -> int:
    """Return the place of the step at which it is found whether a part needs a first mending.

    For any other step the place after its own: what is further has gone past it.
    """
    if step.operation.round_number != 1:
        return step.index + 1
    return max(s.index for s in steps if s.index < step.index and s.operation.round_number == 0)


def _through(found: Outlook, step: Step, running: Sequence[Task]) -> set[int]:
    """Return the units (parts, for a step by part) that went through a step."""
    piece = found.piece
    through: set[int] = set()
    for task in running:
        if task.process != piece.process or task.operation != step.name:
            continue
        for member in task.members:
            if member.order != piece.order:
                continue
            for part in member.parts:
                place = piece.numbers.place_of_part(part)
                if place is not None:
                    unit, which = place
                    through.add(unit * piece.cavities + which if step.level == PART else unit)
            if step.level != PART:
                units = (piece.numbers.unit_of_pull(pull) for pull in member.pulls)
                through.update(unit for unit in units if unit is not None)
    return through
