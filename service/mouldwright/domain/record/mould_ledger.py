"""The ledger of moulds: each one's pulls, upkeep, defects and life, by what was logged.

The pulls written in a shop stand as of its count; what happened from then on moves them, and
what happened before is history that is shown and not counted again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.record.defects import Defect, defects_of
from mouldwright.domain.record.done import DoneTask, tasks_done
from mouldwright.domain.record.kept_log import in_force, up_to
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.domain.record.pulls import PartNumbers, Pull, pulls_taken
from mouldwright.domain.shop import Shop

MoveKind = Literal["pull", "proof pull", "conditioned", "made", "lost", "retired"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldMove:
    """One thing that happened to a mould.

    Attributes:
        is_counted: Whether it moves the counts: it happened since they were written down.
        pulls: Taken in all, with this one.
        since: Taken since the mould was last conditioned.
        taken: The pull, for a pull.
        people: Whose hands did it.
        cause: Why it was lost or retired, or the pull ended otherwise than it should.
    """

    at: datetime
    what: MoveKind
    is_counted: bool
    pulls: int
    since: int
    taken: Pull | None = None
    people: tuple[str, ...] = ()
    cause: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldLedger:
    """One mould: what it began with, what happened to it, how it stands.

    Attributes:
        family: It belongs to.
        number: As marked on it.
        opening_pulls: Taken when the counts were written down; 0 for one made since.
        opening_since: Of them since it was conditioned.
        moves: In order.
        pulls: Taken by now.
        since: Taken since it was last conditioned.
        coats_due: Conditionings due before its next pull.
        in_it: The pull that is in it now.
        gone: Since when it is lost or retired; None while it is there.
        gone_by: What took it.
        good: Parts made on it that nobody scrapped or called a second.
        defects: What was wrong with its parts.
        pulled_by: How many pulls each person took out of it.
    """

    family: MouldFamily
    number: str
    opening_pulls: int
    opening_since: int
    moves: tuple[MouldMove, ...]
    pulls: int
    since: int
    coats_due: int
    in_it: Pull | None
    gone: datetime | None
    gone_by: Literal["lost", "retired"] | None
    good: int
    defects: tuple[Defect, ...]
    pulled_by: Mapping[str, int]

    @property
    def name(self) -> str:
        """Return its name as plans show it."""
        return f"{self.family.key} {self.number}"

    @property
    def counted_pulls(self) -> int:
        """Return the pulls that the log counts on it since its count or its making."""
        made = max((p for p, m in enumerate(self.moves) if _renews(m)), default=-1)
        return sum(1 for m in self.moves[made + 1 :] if m.is_counted and m.taken is not None)

    @property
    def life_left(self) -> int | None:
        """Return pulls until it is used up; None where it does not wear, 0 where it is gone."""
        if self.gone is not None:
            return 0
        life = self.family.life_pulls
        return None if life is None else max(life - self.pulls, 0)

    @property
    def is_usable(self) -> bool:
        """Return whether it may still be pulled."""
        return self.life_left != 0

    @property
    def until_conditioning(self) -> int | None:
        """Return the pulls until conditioning is due, 0 where it is; None where none ever is."""
        if self.coats_due:
            return 0
        every = self.family.conditioned_every_pulls
        if every:
            return max(every - self.since, 0)
        if not self.family.coats and not self.family.coats_every:
            return None
        ahead = range(self.pulls + 1, self.pulls + 1 + len(self.family.coats) + 1000)
        return next((p - self.pulls - 1 for p in ahead if self.family.coats_at(p)), None)


def mould_ledgers(shop: Shop, *, at: datetime | None = None) -> tuple[MouldLedger, ...]:
    """Return the ledger of every mould: those written in the shop, then those the log made.

    Args:
        shop: With its log.
        at: As of then; None with all that is logged.
    """
    entries = in_force(up_to(shop.log, at))
    tasks = tasks_done(entries)
    numbers = PartNumbers(shop, tasks)
    pulls = pulls_taken(shop, entries)
    happened = _by_mould(shop, entries, tasks, pulls)
    found: list[MouldLedger] = []
    for family in shop.moulds.values():
        written = {family.name(mould): mould for mould in family.moulds}
        made = [n for n in happened if n.rpartition(" ")[0] == family.key and n not in written]
        found += [
            _ledger(
                shop,
                family,
                written.get(name) or Mould(number=name.rpartition(" ")[2]),
                happened.get(name, []),
                [p for p in pulls if p.mould == name],
                entries,
                numbers,
            )
            for name in (*written, *made)
        ]
    return tuple(found)


def moulds_as_they_stand(shop: Shop, *, at: datetime | None = None) -> Mapping[str, MouldFamily]:
    """Return the shop's mould families as the log left them.

    Lost and retired moulds are gone, those made since are there, pulls are as counted.

    Args:
        shop: With its log.
        at: As of then; None with all that is logged.
    """
    usable: dict[str, list[Mould]] = {key: [] for key in shop.moulds}
    for ledger in mould_ledgers(shop, at=at):
        if ledger.gone is None:
            usable[ledger.family.key].append(
                Mould(
                    number=ledger.number,
                    pulls=ledger.pulls,
                    pulls_since_conditioning=ledger.since,
                )
            )
    return {key: replace(family, moulds=tuple(usable[key])) for key, family in shop.moulds.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Event:
    at: datetime
    what: MoveKind
    taken: Pull | None = None
    people: tuple[str, ...] = ()
    cause: str = ""


def _by_mould(
    shop: Shop, entries: Iterable[LogEntry], tasks: Iterable[DoneTask], pulls: Iterable[Pull]
) -> dict[str, list[_Event]]:
    found: dict[str, list[_Event]] = {}
    for pull in pulls:
        events = found.setdefault(pull.mould, []) if pull.mould is not None else []
        if pull.ended is not None:
            kind: MoveKind = "pull" if pull.order else "proof pull"
            events.append(
                _Event(at=pull.ended, what=kind, taken=pull, people=pull.people, cause=pull.cause)
            )
    for done in tasks:
        what = _of_mould_alone(shop, done)
        if what is not None and done.task.mould is not None:
            event = _Event(at=done.last_known, what=what, people=done.people)
            found.setdefault(done.task.mould, []).append(event)
    for entry in entries:
        if entry.mould is not None and entry.what in _GOING:
            gone = _Event(
                at=entry.at, what=_GOING[entry.what], people=entry.people, cause=entry.cause
            )
            found.setdefault(entry.mould, []).append(gone)
    for events in found.values():
        # The pull that loses a mould is counted before the mould is gone.
        events.sort(key=lambda e: (e.at, e.what in ("lost", "retired")))
    return found


_GOING: dict[Happening, MoveKind] = {
    Happening.MOULD_LOST: "lost",
    Happening.MOULD_RETIRED: "retired",
}


def _of_mould_alone(shop: Shop, done: DoneTask) -> MoveKind | None:
    """Return what finished work on a mould alone did to it."""
    task = done.task
    if task.members or task.mould is None or done.state != "done":
        return None
    work = shop.mould_work(task.process, task.operation, task.mould)
    if work == "upkeep":
        return "conditioned"
    process = shop.processes.get(task.process)
    if work == "making" and process is not None and process.operations:
        return "made" if process.operations[-1].name == task.operation else None
    return None


def _ledger(
    shop: Shop,
    family: MouldFamily,
    mould: Mould,
    events: Iterable[_Event],
    taken: list[Pull],
    entries: Iterable[LogEntry],
    numbers: PartNumbers,
) -> MouldLedger:
    since_when = shop.counts_since
    pulls, since, coats = mould.pulls, mould.pulls_since_conditioning, 0
    gone: datetime | None = None
    gone_by: Literal["lost", "retired"] | None = None
    moves = []
    for event in events:
        counted = since_when is None or event.at >= since_when
        if counted:
            if event.taken is not None:
                pulls, since, coats = pulls + 1, since + 1, 0
            elif event.what == "conditioned":
                since, coats = 0, coats + 1
            elif event.what == "made":
                pulls, since, coats, gone, gone_by = 0, 0, 0, None, None
            elif event.what in ("lost", "retired"):
                gone, gone_by = event.at, "lost" if event.what == "lost" else "retired"
        moves.append(
            MouldMove(
                at=event.at,
                what=event.what,
                is_counted=counted,
                pulls=pulls,
                since=since,
                taken=event.taken,
                people=event.people,
                cause=event.cause,
            )
        )
    due = max(family.coats_at(pulls + 1), 1 if _is_due(family, since) else 0)
    spent = gone is not None or (family.life_pulls is not None and pulls >= family.life_pulls)
    defects = defects_of(taken, entries, numbers)
    faulty = sum(d.parts for d in defects if d.what != "returned")
    made = sum(len(p.parts) for p in taken if p.ended is not None)
    pulled_by: dict[str, int] = {}
    for pull in taken:
        for person in pull.people if pull.ended is not None else ():
            pulled_by[person] = pulled_by.get(person, 0) + 1
    return MouldLedger(
        family=family,
        number=mould.number,
        opening_pulls=mould.pulls,
        opening_since=mould.pulls_since_conditioning,
        moves=tuple(moves),
        pulls=pulls,
        since=since,
        coats_due=0 if spent else max(due - coats, 0),
        in_it=next((p for p in reversed(taken) if p.ended is None), None) if not gone else None,
        gone=gone,
        gone_by=gone_by,
        good=max(made - faulty, 0),
        defects=defects,
        pulled_by=pulled_by,
    )


def _is_due(family: MouldFamily, since: int) -> bool:
    return bool(family.conditioned_every_pulls) and since >= (family.conditioned_every_pulls or 0)


def _renews(move: MouldMove) -> bool:
    return move.what == "made" and move.is_counted
