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
        pot: Clock that it goes by; -1 for the clock on the wall.
        aged: Places in the shape of the tasks from whose end its age counts.
        members: Places of those that take part, where some members pass a batch's step by;
            empty for all of them.
    """

    step: Step
    member: int
    part: int
    inner: tuple[int, ...]
    outer: tuple[int, ...]
    mix: int
    pot_life_min: int
    pot: int = -1
    aged: tuple[int, ...] = ()
    members: tuple[int, ...] = ()


Shape = tuple[Slot, ...]


def lay_out(
    block: Block,
    cavities: tuple[int, ...],
    *,
    only_part: int | None = None,
    passed: frozenset[tuple[int, int, int]] = frozenset(),
) -> Shape:
    """Return the tasks of a block in the order they are placed.

    Between two batch or order steps each member's tasks come one member after the other,
    so that what is mixed is poured pull by pull.

    Args:
        block: The block.
        cavities: The parts of each member.
        only_part: The one part that a block of part steps is laid out for.
        passed: What is not done: step, place of the member, and part (ALL for a whole unit).
            Whatever follows it there follows what it would have followed.
    """
    return _Layout(block, cavities, only_part, passed).slots()


# The tasks of the shape, and the steps of other blocks, that a step stands for to a member.
_Before = tuple[tuple[int, ...], tuple[int, ...]]


class _Layout:
    def __init__(
        self,
        block: Block,
        cavities: tuple[int, ...],
        only_part: int | None,
        passed: frozenset[tuple[int, int, int]],
    ) -> None:
        self._block, self._cavities, self._only_part = block, cavities, only_part
        self._passed = passed
        self._slots: list[Slot] = []
        self._at: dict[tuple[int, int, int], _Before] = {}
        self._inside = {s.index for s in block.steps}

    def slots(self) -> Shape:
        """Return the tasks."""
        run: list[Step] = []
        for step in self._block.steps:
            if step.level >= BATCH:
                self._flush(run)
                self._together(step)
            else:
                run.append(step)
        self._flush(run)
        return tuple(self._slots)

    def _flush(self, run: list[Step]) -> None:
        """Add a run of finer steps, member by member."""
        for member, count in enumerate(self._cavities):
            i = 0
            while i < len(run):
                if run[i].level != PART:
                    self._add(run[i], member, ALL)
                    i += 1
                    continue
                end = i
                while end < len(run) and run[end].level == PART:
                    end += 1
                for part in range(count) if self._only_part is None else (self._only_part,):
                    for step in run[i:end]:
                        self._add(step, member, part)
                i = end
        run.clear()

    def _together(self, step: Step) -> None:
        """Add a step of all members, or of those that do not pass it by."""
        every = range(len(self._cavities))
        members = tuple(m for m in every if (step.index, m, ALL) not in self._passed)
        for member in every:
            if member not in members:
                self._at[(step.index, member, ALL)] = self._before(step, member, ALL)
        if not members:
            return
        if len(members) == len(self._cavities):
            self._add(step, ALL, ALL)
            return
        befores = [self._before(step, member, ALL) for member in members]
        self._append(step, ALL, ALL, _joined(befores), members)

    def _add(self, step: Step, member: int, part: int) -> None:
        before = self._before(step, member, part)
        if (step.index, member, part) in self._passed:
            self._at[(step.index, member, part)] = before
        else:
            self._append(step, member, part, before, ())

    def _append(
        self, step: Step, member: int, part: int, before: _Before, members: tuple[int, ...]
    ) -> None:
        mix, life, pot = -1, NEVER, -1
        for maker in self._block.steps:
            if maker.pot_until == step.index:
                made = self._found(maker.index, member, part)[0]
                mix, life = (made[0], maker.pot_life_min) if made else (-1, NEVER)
                pot = maker.pot
        aged = self._found(step.age_of, member, part)[0] if step.age_of in self._inside else ()
        self._at[(step.index, member, part)] = ((len(self._slots),), ())
        self._slots.append(
            Slot(
                step=step,
                member=member,
                part=part,
                inner=before[0],
                outer=before[1],
                mix=mix,
                pot_life_min=life,
                pot=pot,
                aged=aged,
                members=members,
            )
        )

    def _before(self, step: Step, member: int, part: int) -> _Before:
        """Return what a step follows for a member and part."""
        outside = tuple(p for p in step.preds if p not in self._inside)
        inside = [self._found(p, member, part) for p in step.preds if p in self._inside]
        return _joined([*inside, ((), outside)])

    def _found(self, step: int, member: int, part: int) -> _Before:
        """Return what a step that bears on a member and part stands for."""
        at = self._at
        if member != ALL:
            if (step, member, ALL) in at:
                return at[(step, member, ALL)]
            if part != ALL and (step, member, part) in at:
                return at[(step, member, part)]
            if (step, ALL, ALL) in at:
                return at[(step, ALL, ALL)]
        return _joined([at[key] for key in at if key[0] == step and member in (ALL, key[1])])


def _joined(befores: list[_Before]) -> _Before:
    tasks = dict.fromkeys(place for places, _ in befores for place in places)
    return tuple(sorted(tasks)), tuple(dict.fromkeys(p for _, steps in befores for p in steps))
