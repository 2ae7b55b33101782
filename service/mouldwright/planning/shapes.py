"""The tasks of a block, laid out for so many members.

A shape depends only on the block, how many members it has and their cavities, so it is
worked out once and used for every placing.
"""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.planning.routing import BATCH, NEVER, PART, Block, Step

# A member slot that stands for all members of the block together.
ALL = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One task of a shape.

    Attributes:
        step: The step it does.
        member: Place of its member in the block's member list; ALL for a batch or order.
        part: Which of the member's parts; ALL for a whole unit.
        inner: Places in the shape of the tasks it follows.
        outer: Steps of other blocks that it follows.
        mix: Place in the shape of the mix whose pot life it must meet; -1 for none.
        pot_life_min: That pot life.
        aged: Places in the shape of the tasks from whose end its age counts.
    """

    step: Step
    member: int
    part: int
    inner: tuple[int, ...]
    outer: tuple[int, ...]
    mix: int
    pot_life_min: int
    aged: tuple[int, ...] = ()


Shape = tuple[Slot, ...]


def lay_out(block: Block, cavities: tuple[int, ...], *, only_part: int | None = None) -> Shape:
    """Return the tasks of a block in the order they are placed.

    Between two batch or order steps each member's tasks come one member after the other,
    so that what is mixed is poured pull by pull.

    ``cavities`` are the parts of each member; ``only_part`` names the one part that a
    block of part steps is laid out for.
    """
    slots: list[Slot] = []
    at: dict[tuple[int, int, int], int] = {}
    run: list[Step] = []
    inside = {s.index for s in block.steps}

    def add(step: Step, member: int, part: int) -> None:
        inner = tuple(i for p in step.preds if p in inside for i in _found(at, p, member, part))
        mix, life = -1, NEVER
        for maker in block.steps:
            if maker.pot_until == step.index:
                mix, life = _found(at, maker.index, member, part)[0], maker.pot_life_min
        at[(step.index, member, part)] = len(slots)
        slots.append(
            Slot(
                step=step,
                member=member,
                part=part,
                inner=inner,
                outer=tuple(p for p in step.preds if p not in inside),
                mix=mix,
                pot_life_min=life,
                aged=_found(at, step.age_of, member, part) if step.age_of in inside else (),
            )
        )

    def flush() -> None:
        for member, count in enumerate(cavities):
            i = 0
            while i < len(run):
                if run[i].level != PART:
                    add(run[i], member, ALL)
                    i += 1
                    continue
                end = i
                while end < len(run) and run[end].level == PART:
                    end += 1
                for part in range(count) if only_part is None else (only_part,):
                    for step in run[i:end]:
                        add(step, member, part)
                i = end
        run.clear()

    for step in block.steps:
        if step.level >= BATCH:
            flush()
            add(step, ALL, ALL)
        else:
            run.append(step)
    flush()
    return tuple(slots)


def _found(
    at: dict[tuple[int, int, int], int], step: int, member: int, part: int
) -> tuple[int, ...]:
    """Return where the tasks of a step that bear on a member and part stand."""
    if (step, ALL, ALL) in at:
        return (at[(step, ALL, ALL)],)
    if member != ALL:
        if (step, member, ALL) in at:
            return (at[(step, member, ALL)],)
        if part != ALL:
            return (at[(step, member, part)],)
    return tuple(
        place
        for (s, m, _), place in sorted(at.items(), key=lambda item: item[1])
        if s == step and member in (ALL, m)
    )
