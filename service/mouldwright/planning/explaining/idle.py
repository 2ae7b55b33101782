"""What every person, mould and station unit does all the time a plan lasts, and idles for.

Each minute from the plan's now to its last end counts once: as use, or as idle for the
reason that the next task there began no sooner.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from mouldwright.domain.hours.clock import union
from mouldwright.domain.hours.opening import Window
from mouldwright.planning.explaining.chain import Chains
from mouldwright.planning.explaining.reading import PlanReader
from mouldwright.planning.explaining.uses import Uses
from mouldwright.planning.reasons import STATES, Cause, ResourceKind, Standing, State

# From when to when a task of a resource lasts, its place, and what the resource does then.
_Row = tuple[int, int, int, State]


def standings(reader: PlanReader, uses: Uses, chains: Chains) -> tuple[Standing, ...]:
    """Return the standing of every person, mould and unit of a shop, idle ones too."""
    return _Standings(reader, uses, chains).all()


class _Standings:
    def __init__(self, reader: PlanReader, uses: Uses, chains: Chains) -> None:
        self.reader, self.uses, self.chains = reader, uses, chains
        self.now = reader.plan.now
        self.end = max([self.now, *(task.end for task in reader.tasks)])
        self.at: dict[str, list[_Row]] = {}
        for place, task in enumerate(reader.tasks):
            state: State = "hands" if task.people else "alone"
            for name in (task.mould, *task.stations):
                if name is not None:
                    self.at.setdefault(name, []).append((task.start, task.end, place, state))

    def all(self) -> tuple[Standing, ...]:
        shop = self.reader.shop
        found = [self._person(person) for person in shop.people]
        moulds = [f.name(mould) for f in shop.moulds.values() for mould in f.moulds]
        moulds += [t.mould for t in self.reader.tasks if t.mould is not None]
        found += [self._thing("mould", name) for name in dict.fromkeys(moulds)]
        units = [f"{s.key} {n}" for s in shop.stations.values() for n in range(1, s.count + 1)]
        found += [self._thing("station", name) for name in units]
        return tuple(found)

    def _person(self, person: str) -> Standing:
        tasks = self.reader.tasks
        rows: list[_Row] = []
        for _, place in self.reader.of_person.get(person, ()):
            rows += [(a, b, place, "hands") for a, b in tasks[place].spans]
            # Going in and coming out are work too.
            start, end = tasks[place].start, tasks[place].end
            rows.append((start - self.reader.gears_up(place, person), start, place, "hands"))
            rows.append((end, self.reader.let_go(place, person), place, "hands"))
        return self._standing("person", person, rows, self.reader.hours(person), 0)

    def _thing(self, kind: ResourceKind, name: str) -> Standing:
        """Return the standing of a mould or unit: only what goes on while it is kept counts."""
        kept = union((use.start, use.end) for use in self.uses.of.get(name, ()))
        rows = [
            row
            for row in self.at.get(name, ())
            if any(start <= row[0] and row[1] <= end for start, end in kept)
        ]
        windows = None
        if kind == "station":
            windows = self.reader.station_hours(name.rpartition(" ")[0])
        return self._standing(kind, name, rows, windows, self._within(kept))

    def _standing(
        self,
        kind: ResourceKind,
        name: str,
        rows: Iterable[_Row],
        windows: Sequence[Window] | None,
        kept_min: int,
    ) -> Standing:
        counts: dict[State, int] = {}
        moment = self.now
        # A task with hands counts before one without where both go on at once.
        for start, end, place, state in sorted(rows, key=lambda r: (r[0], r[3] != "hands", r[1])):
            begins, ends = max(start, moment), min(end, self.end)
            if begins > moment:
                self._idle(counts, kind, (moment, begins), place, windows)
                moment = begins
            if ends > moment:
                counts[state] = counts.get(state, 0) + ends - moment
                moment = ends
        if moment < self.end:
            self._count(counts, "nothing", [(moment, self.end)], windows)
        return Standing(
            kind=kind,
            name=name,
            horizon_min=self.end - self.now,
            minutes={state: counts[state] for state in STATES if counts.get(state)},
            kept_min=kept_min,
        )

    def _idle(
        self,
        counts: dict[State, int],
        kind: ResourceKind,
        gap: Window,
        place: int,
        windows: Sequence[Window] | None,
    ) -> None:
        """Count a gap before a task by what that task waited for."""
        start, end = gap
        task = self.reader.tasks[place]
        if windows is None and task.people:
            windows = self.reader.someone_open(self.reader.able(place))
        if task.start < end:
            # It had begun before and paused: whoever does it was away.
            self._count(counts, "nothing", [(start, end)], windows)
            return
        cause = self.chains.cause(place)
        waits = self._reason(kind, place, cause)
        since = min(max(cause.since, start), end)
        fits = min(max(cause.fits, since), end)
        self._count(counts, waits, [(start, since)], windows)
        self._count(counts, "too short", [(since, fits)], windows)
        self._count(counts, "not forced", [(fits, end)], windows)

    def _reason(self, kind: ResourceKind, place: int, cause: Cause) -> State:
        if cause.kind in ("release", "now", "under way"):
            return "release" if cause.kind == "release" else "nothing"
        if cause.kind == "hands":
            return "people"
        if cause.kind == "mould":
            return "nothing" if kind == "mould" else "mould"
        if cause.kind == "station":
            return "station"
        if cause.kind == "room":
            return "room"
        if cause.since > cause.ended or cause.task is None:
            return "cure"
        return "people" if self.reader.tasks[cause.task].people else "cure"

    @staticmethod
    def _count(
        counts: dict[State, int],
        state: State,
        gaps: Iterable[Window],
        windows: Sequence[Window] | None,
    ) -> None:
        """Count gaps in a state, what lies outside the hours as closed."""
        for start, end in gaps:
            if start >= end:
                continue
            inside = end - start
            if windows is not None:
                inside = sum(
                    max(0, min(closes, end) - max(opens, start)) for opens, closes in windows
                )
            counts[state] = counts.get(state, 0) + inside
            counts["closed"] = counts.get("closed", 0) + end - start - inside

    def _within(self, windows: Iterable[Window]) -> int:
        return sum(max(0, min(end, self.end) - max(start, self.now)) for start, end in windows)
