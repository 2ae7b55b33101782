"""The state of people, stations and moulds while a plan is built."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from mouldwright.domain.hours.clock import longest
from mouldwright.domain.hours.opening import Window
from mouldwright.planning.ground import NO_SESSION
from mouldwright.planning.problem import Problem
from mouldwright.planning.quarters import Quarters, Where
from mouldwright.planning.routing import NEVER, Step
from mouldwright.planning.session_time import SessionTime
from mouldwright.planning.timelines import LONG_AGO, FreeTime, Hours, Room, pausing_fit
from mouldwright.planning.together import common_spans, open_pieces

# Start, end, people, spans (None where the work is in one piece).
Found = tuple[int, int, tuple[int, ...], tuple[Window, ...] | None]


class Bench:
    """Everything that can be busy, with a log to undo what was only tried.

    Attributes:
        tool_free: When each mould is free; NEVER while a pull keeps it.
        tool_since: Pulls since each mould was conditioned.
        tool_pulls: Pulls each mould has taken.
        tool_coats: Conditionings due before each mould's next pull.
        unproved: Whether some mould has to prove itself before any of its pulls is sold.
        whole: Whether work that may pause is kept from pausing where an opening is long enough.
        without: The person who is passed over where others can, -1 for nobody.
        horizon_hit: Whether some search ran past the known hours.
    """

    def __init__(self, problem: Problem) -> None:
        """Begin with everything free and every mould at hand as the shop says."""
        self.crews = problem.crews
        self.people: Sequence[FreeTime] = [FreeTime(windows) for windows in problem.windows]
        self.in_session: list[Sequence[FreeTime]] = [self.people]
        if problem.ground.has_sessions:
            timed = [SessionTime(windows, problem.ground) for windows in problem.windows]
            self.people = timed
            kinds = range(len(problem.ground.sessions))
            self.in_session = [[person.of[kind] for person in timed] for kind in kinds]
        self.quarters = Quarters(problem.ground)
        self.hours = [Hours(windows) for windows in problem.windows]
        self.windows = problem.windows
        self.place_windows = [place.windows for place in problem.places]
        self.unit_base: list[int] = []
        self.units: list[FreeTime] = []
        self.rooms: list[Room | None] = []
        self.unit_names: list[str] = []
        self.unit_place: list[int] = []
        for p, place in enumerate(problem.places):
            self.unit_base.append(len(self.units))
            for name in place.units:
                self.units.append(FreeTime([(LONG_AGO, NEVER)]))
                self.rooms.append(Room(place.room) if place.room else None)
                self.unit_names.append(name)
                self.unit_place.append(p)
        self.unit_base.append(len(self.units))
        self.tools = problem.tools
        self.families = problem.families
        self.tool_free = [0 if tool.built_by < 0 else NEVER for tool in problem.tools]
        self.tool_since = [tool.since for tool in problem.tools]
        self.tool_pulls = [tool.pulls for tool in problem.tools]
        self.tool_left = [tool.life_left for tool in problem.tools]
        self.tool_coats = [self.coats_due(t) for t in range(len(problem.tools))]
        self.unproved = any(tool.proof for tool in problem.tools)
        self.whole = False
        self.without = -1
        self.longest = [
            max((longest(problem.windows[p]) for p in crew), default=0) for crew in problem.crews
        ]
        self.log: list[tuple[int, int, int, int]] = []
        self.horizon_hit = False

    def coats_due(self, tool: int) -> int:
        """Return how many conditionings are due before a mould's next pull."""
        facts = self.tools[tool]
        coats = self.families[facts.family].coats_at(self.tool_pulls[tool] + 1)
        return max(coats, 1 if self.tool_since[tool] >= facts.every else 0)

    # Undoing.

    def undo(self, mark: int) -> None:
        """Put everything back as it was when the log had that length."""
        log = self.log
        while len(log) > mark:
            kind, which, a, b = log.pop()
            if kind == 0:
                self.people[which].give(a, b)
            elif kind == 1:
                self.units[which].give(a, b)
            elif kind == 2:
                self.units[which].take(a, b)
            elif kind == 3:
                room = self.rooms[which >> 20]
                if room is not None:
                    room.add(a, b, -(which & 0xFFFFF))
            elif kind == 4:
                room = self.rooms[which >> 20]
                if room is not None:
                    room.add(a, b, which & 0xFFFFF)
            elif kind == 5:
                self.tool_free[which] = a
            elif kind == 7:
                self.quarters.add((which >> 8, which & 0xFF), a, b, -1)
            else:
                self._undo_pull(which, a)

    def _undo_pull(self, tool: int, since: int) -> None:
        self.tool_free[tool] = NEVER
        self.tool_since[tool] = since
        self.tool_pulls[tool] -= 1
        if self.tool_left[tool] < NEVER:
            self.tool_left[tool] += 1
        self.tool_coats[tool] = 0

    # People.

    def crew_free(self, crew: int, earliest: int) -> int:
        """Return the first minute from ``earliest`` at which anyone of a crew is free."""
        best = NEVER
        for person in self.crews[crew]:
            free = self.people[person]
            if isinstance(free, SessionTime):
                at = free.first_any(earliest)
            else:
                at = free.first_free(earliest)
            if at < best:
                best = at
                if at == earliest:
                    break
        return best

    def find_people(self, step: Step, earliest: int, work: int) -> Found | None:
        """Return the first time its people can do a step, and who they are."""
        crew = self.crews[step.crew]
        if self.without in crew and len(crew) > step.people:
            crew = tuple(person for person in crew if person != self.without)
        pausing = step.interruptible and not (self.whole and work <= self.longest[step.crew])
        people = self.in_session[step.session]
        if step.people == 1:
            if pausing:
                return self._find_pausing(crew, earliest, work)
            best, who = NEVER, -1
            for person in crew:
                at = people[person].first_fit(earliest, work)
                if at < best:
                    best, who = at, person
                    if at == earliest:
                        break
            if who < 0:
                self.horizon_hit = True
                return None
            return best, best + work, (who,), None
        return self._find_together(people, crew, step.people, earliest, work, pausing=pausing)

    def _find_pausing(self, crew: Sequence[int], earliest: int, work: int) -> Found | None:
        """Return who finishes pausable work first, the least skilled where two tie."""
        if work == 0:
            for person in crew:
                at = self.people[person].first_free(earliest)
                if at < NEVER:
                    return at, at, (person,), None
        best: tuple[Window, ...] | None = None
        who = -1
        for person in crew:
            spans = pausing_fit(self.people[person], self.hours[person], earliest, work)
            if spans is not None and (best is None or spans[-1][1] < best[-1][1]):
                best, who = spans, person
        if best is None:
            self.horizon_hit = True
            return None
        return best[0][0], best[-1][1], (who,), best if len(best) > 1 else None

    def _find_together(
        self,
        people: Sequence[FreeTime],
        crew: Sequence[int],
        count: int,
        earliest: int,
        work: int,
        *,
        pausing: bool,
    ) -> Found | None:
        """Return the first time that several people are free at once."""
        at = earliest
        while at < NEVER:
            if pausing:
                found = self._together_pausing(crew, count, at, work)
                if found is not None:
                    return found
                # The next minute at which one more of them could come in.
                free = [self.people[p].first_free(at + 1) for p in crew]
                at = min((f for f in free if f > at), default=NEVER)
                continue
            fits = [(people[p].first_fit(at, work), p) for p in crew]
            ready = [p for fit, p in fits if fit == at]
            if len(ready) >= count:
                return at, at + work, tuple(ready[:count]), None
            later = sorted(fit for fit, _ in fits)
            if len(later) < count:
                return None
            at = later[count - 1]
        self.horizon_hit = True
        return None

    def _together_pausing(
        self, crew: Sequence[int], count: int, start: int, work: int
    ) -> Found | None:
        """Return work by several people from exactly ``start``, paused when any has closed.

        People are taken in the crew's order; the first team that can is the answer.
        """
        able = [p for p in crew if self.people[p].first_free(start) == start]
        if len(able) < count:
            return None
        for skip in range(len(able) - count + 1):
            team = able[skip : skip + count]
            spans = common_spans(self.people, self.windows, team, start, work)
            if spans is not None:
                return start, spans[-1][1], tuple(team), spans if len(spans) > 1 else None
        return None

    def take_people(self, found: Found, session: int = NO_SESSION) -> None:
        """Book a found time for its people, all their open hours from start to end."""
        start, end, people, spans = found
        for person in people:
            pieces = open_pieces(self.windows[person], start, end) if spans else [(start, end)]
            free = self.people[person]
            for opens, closes in pieces:
                if isinstance(free, SessionTime):
                    free.take(opens, closes, session)
                else:
                    free.take(opens, closes)
                self.log.append((0, person, opens, closes))

    def occupy_person(self, person: int, start: int, end: int, session: int) -> None:
        """Keep a person busy with something that is already so, whatever else is."""
        free = self.people[person]
        if isinstance(free, SessionTime):
            free.block(start, end, session)
        else:
            free.block(start, end)

    def take_room(self, where: Where | None, start: int, end: int) -> None:
        """Keep a room in a state over [start, end)."""
        if where is not None:
            self.quarters.add(where, start, end)
            self.log.append((7, where[0] << 8 | where[1], start, end))

    # Stations.

    def hours_fit(self, place: int, earliest: int, duration: int) -> int:
        """Return the first start at which a station's own hours hold the whole task."""
        windows = self.place_windows[place]
        if windows is None:
            return earliest
        i = max(bisect_right(windows, (earliest, NEVER)) - 1, 0)
        for opens, closes in windows[i:]:
            start = max(opens, earliest)
            if start + duration <= closes:
                return start
        self.horizon_hit = True
        return NEVER

    def hours_hold(self, place: int, spans: Sequence[Window]) -> bool:
        """Return whether a station is open for every span of a task that pauses."""
        windows = self.place_windows[place]
        if windows is None:
            return True
        for start, end in spans:
            i = bisect_right(windows, (start, NEVER)) - 1
            if i < 0 or windows[i][1] < end:
                return False
        return True

    def next_opening(self, step: Step, place: int, start: int) -> int:
        """Return the next minute at which a station or one of a step's people comes free."""
        windows = self.place_windows[place] or ()
        i = bisect_right(windows, (start, NEVER))
        after = [windows[i][0]] if i < len(windows) else []
        for person in self.crews[step.crew]:
            starts = self.people[person].starts
            j = bisect_right(starts, start)
            if j < len(starts):
                after.append(starts[j])
        if not after or i >= len(windows):
            self.horizon_hit = True
            return NEVER
        return min(after)

    def find_unit(self, place: int, earliest: int, duration: int, parts: int) -> tuple[int, int]:
        """Return the first start at which a unit is free, and the unit; NEVER where none is.

        ``duration`` is NEVER where its end is not known yet; ``parts`` is the room wanted
        of a station that counts parts.
        """
        best, unit = NEVER, -1
        for u in range(self.unit_base[place], self.unit_base[place + 1]):
            room = self.rooms[u]
            if room is not None:
                at = room.first_fit(earliest, duration, parts)
            elif duration >= NEVER:
                free = self.units[u]
                at = max(free.starts[-1], earliest) if free.ends[-1:] == [NEVER] else NEVER
            else:
                at = self.units[u].first_fit(earliest, duration)
            if at < best:
                best, unit = at, u
                if at == earliest:
                    break
        return best, unit

    def take_unit(self, unit: int, start: int, end: int, parts: int) -> None:
        """Book a unit over [start, end)."""
        room = self.rooms[unit]
        if room is None:
            self.units[unit].take(start, end)
            self.log.append((1, unit, start, end))
        else:
            room.add(start, end, parts)
            self.log.append((3, unit << 20 | parts, start, end))

    def occupy(self, unit: int, start: int, end: int, parts: int) -> None:
        """Keep a unit for something that is already there, whatever else is."""
        room = self.rooms[unit]
        if room is None:
            self.units[unit].block(start, end)
        else:
            room.add(start, end, parts)

    def give_unit(self, unit: int, end: int, parts: int) -> None:
        """End a hold whose end was not known."""
        room = self.rooms[unit]
        if room is None:
            self.units[unit].give(end, NEVER)
            self.log.append((2, unit, end, NEVER))
        else:
            room.add(end, NEVER, -parts)
            self.log.append((4, unit << 20 | parts, end, NEVER))

    # Moulds.

    def find_tool(
        self, tools: Sequence[int], earliest: int, *, proving: bool = False
    ) -> tuple[int, int]:
        """Return the first start at which a mould is ready for a pull, and the mould.

        Of several ready at once the one that lasts longest goes first: it has most to do.
        """
        best, which, lasts = NEVER, -1, 0
        for tool in tools:
            left = self.tool_left[tool]
            if self.tool_coats[tool] or left <= 0:
                continue
            if self.unproved and not proving and not self._is_proved(tool):
                continue
            at = self.tool_free[tool]
            at = at if at > earliest else earliest
            if at < best or (at == best and left > lasts and at < NEVER):
                best, which, lasts = at, tool, left
                if at == earliest and left >= NEVER:
                    break
        return best, which

    def _is_proved(self, tool: int) -> bool:
        facts = self.tools[tool]
        return self.tool_pulls[tool] - facts.pulls >= facts.proof

    def take_tool(self, tool: int) -> None:
        """Keep a mould for a pull; the end is not known yet."""
        self.log.append((5, tool, self.tool_free[tool], 0))
        self.tool_free[tool] = NEVER

    def give_tool(self, tool: int, end: int) -> None:
        """End a pull: the mould is free, one pull older."""
        self.log.append((6, tool, self.tool_since[tool], 0))
        self.tool_free[tool] = end
        self.tool_since[tool] += 1
        self.tool_pulls[tool] += 1
        if self.tool_left[tool] < NEVER:
            self.tool_left[tool] -= 1
        self.tool_coats[tool] = self.coats_due(tool)
