"""What a check finds, and the places it looks at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from mouldwright.domain.errors import Fault, nearest
from mouldwright.domain.key_path import Segment, key_path
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop

Where = tuple[Segment, ...]


def fault(where: Where, value: object, problem: str, remedy: str) -> Fault:
    """Return something that cannot be right; a value of None is a key that is not there."""
    return Fault(path=key_path(*where), value=_shown(value), problem=problem, remedy=remedy)


def warning(where: Where, value: object, problem: str, remedy: str) -> Fault:
    """Return something that is unwise, or that leaves an answer unknown."""
    return Fault(
        path=key_path(*where), value=_shown(value), problem=problem, remedy=remedy, is_warning=True
    )


def unknown(where: Where, value: str, kind: str, known: Iterable[str]) -> Fault:
    """Return the fault of a key that names nothing, with the nearest one that exists."""
    names = tuple(known)
    return fault(where, value, f"there is no {kind} of that name.", nearest(value, names))


def _shown(value: object) -> str:
    if value is None:
        return ""
    return f'"{value}"' if isinstance(value, str) else str(value)


def routings(shop: Shop) -> Iterator[tuple[Where, tuple[Operation, ...]]]:
    """Yield every list of operations with its place, upkeep tasks at the end of theirs."""
    for key, process in shop.processes.items():
        yield ("processes", key, "operations"), steps(process)
    for key, part_set in shop.sets.items():
        yield ("sets", key, "operations"), part_set.operations


def steps(process: Process) -> tuple[Operation, ...]:
    """Return the operations of a process as written, its upkeep task last.

    Of a rework the first round stands for all.
    """
    upkeep = (process.conditioning,) if process.conditioning else ()
    later = {o.name for o in process.operations if o.round_number > 1}
    written = tuple(
        replace(o, after=tuple(name for name in o.after if name not in later))
        for o in process.operations
        if o.name not in later
    )
    return (*written, *upkeep)


def step(where: Where, operation: Operation) -> Where:
    """Return the place of one operation, by its name."""
    if operation.rework:
        # The first round stands for all of them: it is what was written.
        written = (*where[:-1], "reworks", f'["{operation.rework}"]', "operations")
        return (*written, f'["{operation.name}"]')
    return (*where, f'["{operation.name}"]')


def least_members(shop: Shop, where: Where, operation: Operation) -> int:
    """Return the fewest members one task of an operation can have.

    A pull has the cavities of its mould; everything else may be one part.
    """
    if operation.per != "pull":
        return 1
    families = [f.cavities for f in shop.moulds.values() if f.process == where[1]]
    return min(families, default=1)
