"""What was wrong with parts, by cause: scrapped, seconds, failed pulls, parts that came back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.domain.record.pulls import PartNumbers, Pull
from mouldwright.domain.record.serial import Serial

DefectKind = Literal["scrapped", "second", "returned"]
_KINDS: dict[Happening, DefectKind] = {
    Happening.SCRAPPED: "scrapped",
    Happening.SECOND: "second",
    Happening.RETURNED: "returned",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Defect:
    """Parts that had the same thing wrong with them.

    Attributes:
        cause: As it was noted; empty where nobody said.
        parts: How many.
    """

    what: DefectKind
    cause: str
    parts: int


def faults_by_part(
    entries: Iterable[LogEntry], numbers: PartNumbers
) -> dict[Serial, dict[DefectKind, LogEntry]]:
    """Return the last entry of each kind about every part that has one.

    A pull that is scrapped, or a second, is all its parts.
    """
    found: dict[Serial, dict[DefectKind, LogEntry]] = {}
    for entry in entries:
        kind = _KINDS.get(entry.what)
        if kind is None:
            continue
        for member in entry.members or (entry.task.members if entry.task else ()):
            parts = member.parts or tuple(
                part for pull in member.pulls for part in numbers.parts_of(member.order, pull)
            )
            for part in parts:
                found.setdefault(Serial(member.order, part), {})[kind] = entry
    return found


def defects_of(
    pulls: Iterable[Pull], entries: Iterable[LogEntry], numbers: PartNumbers
) -> tuple[Defect, ...]:
    """Return what was wrong with the parts of some pulls, the most frequent first.

    A part scrapped after it was called a second counts as scrapped alone. A pull that failed
    in its mould is scrap whether or not that was noted besides.
    """
    faults = faults_by_part(entries, numbers)
    counted: dict[tuple[DefectKind, str], int] = {}
    for pull in pulls:
        for part in pull.parts:
            its = faults.get(Serial(pull.order, part), {})
            failed = pull.end in ("stopped", "scrapped", "lost with its mould")
            said: list[tuple[DefectKind, str]] = []
            if "scrapped" in its:
                said.append(("scrapped", its["scrapped"].cause or pull.cause))
            elif failed:
                said.append(("scrapped", pull.cause))
            elif "second" in its:
                said.append(("second", its["second"].cause))
            if "returned" in its:
                said.append(("returned", its["returned"].cause))
            for each in said:
                counted[each] = counted.get(each, 0) + 1
    ordered = sorted(counted.items(), key=lambda pair: (-pair[1], pair[0]))
    return tuple(Defect(what=w, cause=c, parts=n) for (w, c), n in ordered)
