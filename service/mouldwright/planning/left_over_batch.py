"""A batch that some of its pulls or parts leave, while the others stay in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.planning.plan import Member, Task

Members = tuple[Member, ...]


def can_lose_some(process: Process | None, operation: Operation | None) -> bool:
    """Return whether a batch takes as long with fewer in it, and keeps no unit by itself."""
    if process is None or operation is None or operation.per != "batch" or operation.each_min:
        return False
    return all(operation.name not in (hold.first, hold.last) for hold in process.holds)


def leaving(batch: Task, by: Sequence[Member]) -> Members | None:
    """Return who of a batch is among others; None where that cannot be told from their names."""
    found = []
    for member in batch.members:
        others = [one for one in by if one.order == member.order]
        if member.pulls and member.parts:
            return None
        if member.pulls and not all(one.pulls for one in others):
            return None
        if member.parts and any(one.pulls for one in others):
            return None
        pulls = {pull for one in others for pull in one.pulls}
        parts = {part for one in others for part in one.parts}
        found.append(
            Member(
                order=member.order,
                pulls=tuple(pull for pull in member.pulls if pull in pulls),
                parts=tuple(part for part in member.parts if part in parts),
            )
        )
    return tuple(member for member in found if member.pulls or member.parts)


def without(batch: Task, gone: Sequence[Member]) -> Task | None:
    """Return a batch without some of its pulls or parts; None where nothing is left of it."""
    out = {member.order: member for member in gone}
    left = []
    for member in batch.members:
        leaves = out.get(member.order, Member(order=member.order))
        left.append(
            replace(
                member,
                pulls=tuple(pull for pull in member.pulls if pull not in leaves.pulls),
                parts=tuple(part for part in member.parts if part not in leaves.parts),
            )
        )
    members = tuple(member for member in left if member.pulls or member.parts)
    return replace(batch, members=members) if members else None
