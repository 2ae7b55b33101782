"""What was planned to come, held against what was really done before it."""

from __future__ import annotations

from mouldwright.planning.explaining.reading import PlanReader
from mouldwright.planning.explaining.uses import Uses
from mouldwright.planning.logged.beside import AsItWent
from mouldwright.planning.plan import Task


class Against:
    """Judges tasks still to come by those that have begun, at the times they really had."""

    def __init__(self, reader: PlanReader, uses: Uses, went: AsItWent) -> None:
        """Look what was done up in a plan as it went."""
        self._reader, self._uses, self._went = reader, uses, went
        self._mould_of: dict[tuple[str, int], str] = {}
        self._busy: dict[str, list[Task]] = {}
        for at in went.begun:
            task = reader.tasks[at]
            for person in task.people if task.end > went.problem.now else ():
                self._busy.setdefault(person, []).append(task)
            for member in task.members if task.mould else ():
                for pull in member.pulls:
                    self._mould_of[member.order, pull] = task.mould or ""

    def is_on(self, task: Task) -> bool:
        """Return whether all pulls of a task are on its mould already."""
        pulls = [(member.order, pull) for member in task.members for pull in member.pulls]
        return bool(pulls) and all(self._mould_of.get(pull) == task.mould for pull in pulls)

    def what_was_done(self, at: int) -> str:
        """Return why a task cannot stay after what was done, in words; empty where it can."""
        if not self._went.read.entries:
            return ""
        task = self._reader.tasks[at]
        for member in task.members if task.mould else ():
            for pull in member.pulls:
                mould = self._mould_of.get((member.order, pull), task.mould)
                if mould != task.mould:
                    return f"its pull is on {mould}"
        return self._after(at, task) or self._taken(at, task)

    def _after(self, at: int, task: Task) -> str:
        """Return what it follows that ended otherwise than planned."""
        operation = self._reader.operation(at)
        if operation is None:
            return ""
        ends = []
        for before in self._reader.followed(at):
            if before not in self._went.begun:
                continue
            done = self._reader.tasks[before]
            ends.append(done.end)
            if task.start < done.end + operation.wait_min:
                return f"{done.operation} takes longer than planned"
            longest = operation.wait_max_min
            if longest is not None and task.start > done.end + longest:
                return f"it has to follow {done.operation} sooner"
        held = any(unit.rpartition(" ")[0] == operation.station for unit in task.stations)
        at_once = not operation.attended and not held
        told = bool(ends) and len(ends) == len(self._reader.followed(at))
        if at_once and told and task.start != max(ends) + operation.wait_min:
            return "what it follows ended at another time"
        return self._past_pot_life(at, task)

    def _past_pot_life(self, at: int, task: Task) -> str:
        process = self._reader.shop.processes.get(task.process)
        for mixing in process.operations if process is not None else ():
            material = self._reader.shop.materials.get(mixing.material or "")
            if mixing.pot_life_until != task.operation or material is None or material.mix is None:
                continue
            for mix in self._reader.sharing(at, mixing.name):
                done = self._reader.tasks[mix]
                if mix in self._went.begun and task.end - done.end > material.mix.pot_life_min:
                    return "its mix was made sooner than planned"
        return ""

    def _taken(self, at: int, task: Task) -> str:
        """Return who or what is still taken by work that has begun."""
        for person in task.people:
            for done in self._busy.get(person, ()):
                if done.end > task.start and done.start < task.end:
                    title = self._reader.shop.people[person].title
                    return f"{title} is still at {done.operation}"
        for use in self._uses.beginning.get(at, ()):
            for other in self._uses.of[use.resource]:
                if other.first == at or other.end <= use.start or other.start >= use.end:
                    continue
                began = other.first < 0 or other.first in self._went.begun
                station = self._reader.shop.stations.get(use.resource.rpartition(" ")[0])
                if began and (station is None or station.room is None):
                    return f"{use.resource} is kept longer than planned"
        return ""
