"""A chain in words: each stretch a line, a row of like ones told as one."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.domain.hours.opening import local
from mouldwright.domain.shown import lasting, listed
from mouldwright.planning.explaining.reading import PlanReader, orders_of
from mouldwright.planning.plan import Member, Task
from mouldwright.planning.reasons import Cause, Chain, Link, LinkKind, Share, Stretch

# What the minutes of a wait are counted under.
_WAITS: dict[LinkKind, str] = {
    "closed": "closed hours",
    "session": "gearing up and cleaning down",
    "least wait": "waits that the process asks for",
    "not forced": "time that nothing forces",
}


class Words:
    """Says what a chain holds."""

    def __init__(self, reader: PlanReader) -> None:
        """Look names up in that reader."""
        self._reader = reader

    def stretches(self, chain: Chain) -> tuple[Stretch, ...]:
        """Return a chain with rows of one person's tasks joined, the last stretch first."""
        rows: list[list[Link]] = []
        for link in chain.links:
            if rows and self._goes_on(rows[-1][-1], link):
                rows[-1].append(link)
            else:
                rows.append([link])
        return tuple(self._stretch(chain, row) for row in rows)

    def _goes_on(self, later: Link, link: Link) -> bool:
        """Return whether a link is more of the same person's work, straight before."""
        if link.task is None or later.task is None or later.cause is None:
            if link.task is not None or later.task is not None:
                return False
            return link.kind == later.kind
        if link.kind != "hands" or later.kind != "hands" or later.cause.through is not None:
            return False
        people = self._reader.tasks[link.task].people
        return later.cause.kind in ("hands", "follows") and (
            people == self._reader.tasks[later.task].people
        )

    def _stretch(self, chain: Chain, row: Sequence[Link]) -> Stretch:
        first, last = row[-1], row[0]
        places = tuple(link.task for link in row if link.task is not None)
        return Stretch(
            start=first.start,
            end=last.end,
            kind=last.kind,
            what=self._what(chain, row, places),
            why=self._why_row(first),
            because="" if first.cause is None else first.cause.kind,
            tasks=places,
        )

    def _why_row(self, first: Link) -> str:
        if first.cause is not None:
            return self.why(first.task, first.cause)
        return "" if first.task is None else "it goes on after a pause"

    def _what(self, chain: Chain, row: Sequence[Link], places: Sequence[int]) -> str:
        length = _exactly(row[0].end - row[-1].start)
        kind = row[0].kind
        if kind == "closed":
            return f"closed for {length}{self._until_in(row[0])}"
        if kind == "session":
            return f"gearing up or cleaning down, {length}"
        if kind == "least wait":
            return f"a wait of {length} that the process asks for"
        if kind == "not forced":
            return f"{length} that nothing in the plan forces"
        tasks = [self._reader.tasks[place] for place in places]
        if len(tasks) == 1:
            whose = "" if row[0].own and len(orders_of(tasks[0])) == 1 else self._whose(tasks)
            who = f" by {self.names(tasks[0].people)}" if tasks[0].people else ""
            return f"{self.task(tasks[0], with_order=False)}{whose}{who}, {length}"
        counts: dict[str, int] = {}
        for task in reversed(tasks):
            counts[task.operation] = counts.get(task.operation, 0) + 1
        done = ", ".join(f"{n} x {name}" if n > 1 else name for name, n in counts.items())
        own = all(orders_of(task) == (chain.order,) for task in tasks)
        whose = "" if own else self._whose(tasks)
        return f"{self.names(tasks[0].people)} busy with {done}{whose}, {length}"

    def _until_in(self, link: Link) -> str:
        """Say who is waited for while it is closed."""
        people = () if link.waits is None else self._reader.tasks[link.waits].people
        if not people:
            return ", outside the machine's hours"
        together = " together" if len(people) > 1 else ""
        return f", until {self.names(people)} {'are' if together else 'is'} in{together}"

    def _whose(self, tasks: Sequence[Task]) -> str:
        orders = dict.fromkeys(number for task in tasks for number in orders_of(task))
        if not orders:
            return " (upkeep)"
        return f" of {_orders(tuple(orders))}"

    # Summed up.

    def binding(self, chain: Chain) -> tuple[str, ...]:
        """Return what binds, one line each, the last first; short work of its own is left out."""
        found: list[str] = []
        for stretch in self.stretches(chain):
            span = f"from {self.at(stretch.start)} to {self.at(stretch.end)}"
            if stretch.kind == "alone":
                found.append(f"{stretch.what} (to {self.at(stretch.end)})")
            elif stretch.kind != "hands" or len(stretch.tasks) > 1:
                found.append(f"{stretch.what}, {span}")
            if stretch.because in ("age", "mould", "station", "room", "release") or (
                stretch.because == "hands" and len(stretch.tasks) == 1
            ):
                found.append(stretch.why)
        return tuple(found) or ("the work itself, from the first minute on",)

    def headline(self, chain: Chain) -> str:
        """Return in one sentence what the time to a finish mostly goes into."""
        if not chain.links:
            return "Everything is under way or done."
        parts = [f"{share.what} ({_exactly(share.minutes)})" for share in shares(chain, self)[:3]]
        ready = self.at(chain.finish)
        return f"Ready {ready}. Of the {_exactly(chain.finish - chain.origin)} before: " + (
            "; ".join(parts) + "."
        )

    def because(self, chain: Chain) -> str:
        """Return in a clause what keeps an order longest: another's hold on something, if any.

        Else what most of its time goes into.
        """
        longest, told = 0, ""
        since, asks = chain.finish, ""
        for link in (*chain.links, None):
            own = link is None or link.own
            if own and asks and since - (chain.origin if link is None else link.end) > longest:
                longest = since - (chain.origin if link is None else link.end)
                told = asks
            if link is None or link.task is None or not link.own or link.cause is None:
                continue
            cause = link.cause
            foreign = bool(cause.orders) and chain.order not in cause.orders
            asks = self.why(link.task, cause) if foreign else ""
            since = link.start
        if told:
            return told
        most = shares(chain, self)
        return f"{_exactly(most[0].minutes)} of it goes into {most[0].what}" if most else ""

    def goes_into(self, link: Link) -> str:
        """Return what the minutes of a link are counted under."""
        if link.task is None:
            return _WAITS[link.kind]
        task = self._reader.tasks[link.task]
        numbers = orders_of(task)
        if not numbers:
            return "upkeep"
        if link.own:
            return "work on the order" if link.kind == "hands" else "cures and machines"
        if link.kind == "hands":
            return f"{self.names(task.people)} busy with {_orders(numbers)}"
        return f"cures and machines of {_orders(numbers)}"

    # Why.

    def why(self, at: int | None, cause: Cause) -> str:
        """Return why a task begins no sooner, in words."""
        words = self._why(at, cause)
        if cause.through is not None:
            if cause.kind in ("follows", "age"):
                waits = self.task(self._reader.tasks[cause.through])
                return f"{waits} waits for the same opening, and {words}"
            follows = self._reader.tasks[cause.through].operation
            return f"{follows} has to follow closely, and {words}"
        return words

    def _why(self, at: int | None, cause: Cause) -> str:
        until = self.at(cause.ended)
        if cause.kind == "now":
            return "it is the first that can be done"
        if cause.kind == "under way":
            return "it is under way"
        if cause.kind == "release":
            wait = None if at is None else self._reader.material(at, cause.ended)
            if wait is not None:
                return wait.words(self._reader.shop)
            return f"the order may not begin before {until}"
        behind = self._reader.tasks[cause.task] if cause.task is not None else None
        if behind is None:
            return ""
        if cause.kind == "follows":
            return f"it follows {self.task(behind, with_order=False)}, over at {until}"
        if cause.kind == "age":
            return f"its parts must be old enough, from {self.task(behind)} on, over at {until}"
        if cause.kind == "room":
            settled = self.at(cause.since)
            return f"{cause.resource} had to settle until {settled} after {self.task(behind)}"
        if cause.kind == "hands":
            who = self.name(cause.resource or "")
            other = self._someone_else(at, cause)
            return f"{who} is busy with {self.task(behind)} until {until}{other}"
        held = f"is held by {_orders(cause.orders)}" if cause.orders else "is seen to"
        what = "mould " if cause.kind == "mould" else ""
        return f"{what}{cause.resource} {held} until {until}, when {self.task(behind)} is over"

    def _someone_else(self, at: int | None, cause: Cause) -> str:
        """Say so where someone else could have done the task before."""
        if at is None or cause.through is not None:
            return ""
        reader, task = self._reader, self._reader.tasks[at]
        ready = max((reader.tasks[p].end for p in reader.followed(at)), default=reader.plan.now)
        if len(task.people) != 1 or ready >= task.start:
            return ""
        for person in reader.able(at):
            if person in task.people:
                continue
            before = reader.busy_before(person, task.start)
            free = max(ready, reader.tasks[before].end if before is not None else ready)
            if free < task.start and any(
                opens <= max(free, opens)
                and max(free, opens) + (task.end - task.start) <= closes
                and max(free, opens) < task.start
                for opens, closes in reader.hours(person)
            ):
                return f" (the plan keeps {self.name(person)}, who could too, free)"
        return ""

    # Names.

    def task(self, task: Task, *, with_order: bool = True) -> str:
        """Return a task in a few words: what, of which pulls or parts, of which order."""
        if not task.members:
            return f"{task.operation} of mould {task.mould}" if task.mould else task.operation
        said = "; ".join(members(m, with_order=with_order) for m in task.members[:3])
        if len(task.members) > 3:
            said += f" and {len(task.members) - 3} orders more"
        return f"{task.operation} of {said}" if said else task.operation

    def name(self, person: str) -> str:
        """Return what someone is called."""
        known = self._reader.shop.people.get(person)
        return known.title if known is not None else person

    def names(self, people: Sequence[str]) -> str:
        """Return what several are called."""
        return listed([self.name(person) for person in people])

    def at(self, minute: int) -> str:
        """Return an instant as weekday, date and time: Mon 1 Mar 08:00."""
        moment = local(minute, self._reader.plan.zone)
        return f"{moment:%a} {moment.day} {moment:%b %H:%M}"


def shares(chain: Chain, words: Words) -> tuple[Share, ...]:
    """Return what the time from a chain's origin to its finish goes into, the most first.

    Another order's work counts under that order, its hands apart from its cures and machines.
    All of it together is the whole time.
    """
    found: dict[str, int] = {}
    for link in chain.links:
        what = words.goes_into(link)
        found[what] = found.get(what, 0) + link.end - link.start
    rows = [Share(what=what, minutes=minutes) for what, minutes in found.items() if minutes]
    return tuple(sorted(rows, key=lambda row: -row.minutes))


def members(member: Member, *, with_order: bool = True) -> str:
    """Return what of an order takes part, in words."""
    if len(member.parts) == 1 or not member.pulls:
        what, ids = "part", member.parts
    else:
        what, ids = "pull", member.pulls
    if not ids:
        return f"order {member.order}" if with_order else ""
    many = "s" if len(ids) > 1 else ""
    words = f"{what}{many} {runs(ids)}"
    return f"order {member.order} {words}" if with_order else words


def runs(ids: Sequence[int]) -> str:
    """Return ids with runs joined: 1 to 3, 7."""
    found: list[list[int]] = []
    for number in sorted(ids):
        if found and number == found[-1][1] + 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    return ", ".join(str(a) if a == b else f"{a} to {b}" for a, b in found)


def _orders(numbers: tuple[str, ...]) -> str:
    return ("order " if len(numbers) == 1 else "orders ") + ", ".join(numbers)


def _exactly(minutes: int) -> str:
    # Each stretch ends where the next begins, so that what is said must add up.
    return lasting(minutes, to_the_minute=True)
