"""The list scheduler: whoever is free takes the most urgent thing that can be done now.

One pass over the openings, from event to event. It holds no opinion of its own: the
keys say what is urgent, and searching over keys is how good plans are found. The inner
loop indexes plain sequences only, so the same source runs on lists as it is and on
arrays where a compiler is at hand.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from mouldwright.planning.flow.stages import NEVER, Stages


def pass_over(
    opens: Any,
    closes: Any,
    persons: Any,
    order: Any,
    duration: Any,
    lag: Any,
    units: Any,
    task: Any,
    first: Any,
    release: Any,
    take_from: Any,
    take: Any,
    give_from: Any,
    give_pool: Any,
    give_after: Any,
    copy_from: Any,
    keys: Any,
    patience: Any,
    starts: Any,
    ready: Any,
    head: Any,
    head_key: Any,
    live: Any,
    where: Any,
    done: Any,
    person: Any,
    copy: Any,
    pool_free: Any,
    give_up_at: int,
) -> int:
    """Fill ``starts`` and return how many tasks were placed.

    Args:
        opens: See ``Stages``, like every argument to ``copy_from``.
        closes: See ``Stages``.
        persons: See ``Stages``.
        order: See ``Stages``.
        duration: See ``Stages``.
        lag: See ``Stages``.
        units: See ``Stages``.
        task: See ``Stages``.
        first: See ``Stages``.
        release: See ``Stages``.
        take_from: See ``Stages``.
        take: See ``Stages``.
        give_from: See ``Stages``.
        give_pool: See ``Stages``.
        give_after: See ``Stages``.
        copy_from: See ``Stages``.
        keys: By task; the least is the most urgent.
        patience: By stage, minutes the last free person waits for a more urgent unit of
            it that is about to come, rather than take other work.
        starts: By task, written.
        ready: By task, written: minute from which it may start.
        head: By stage, room to work in.
        head_key: By stage, room to work in.
        live: By stage, room to work in.
        where: By stage, room to work in.
        done: By stage, room to work in.
        person: By person, room to work in.
        copy: By copy of a pool, room to work in.
        pool_free: By pool, room to work in.
        give_up_at: Openings from this minute on are not used.
    """
    never = 1 << 60
    stage_count = len(duration)
    left = 0
    waits = False
    for stage in range(stage_count):
        done[stage] = 0
        left += units[stage]
        waits = waits or patience[stage] > 0
    # The stages that have a unit waiting or on its way, in no order.
    count = 0
    for place in range(len(release)):
        stage = first[place]
        head[stage] = release[place]
        head_key[stage] = keys[task[stage]]
        live[count] = stage
        where[stage] = count
        count += 1
    for index in range(len(copy)):
        copy[index] = -never
    for index in range(len(pool_free)):
        pool_free[index] = -never if copy_from[index] < copy_from[index + 1] else never
    placed = 0
    for window in range(len(opens)):
        now = opens[window]
        closing = closes[window]
        crew = persons[window]
        if now >= give_up_at or placed == left:
            break
        for index in range(crew):
            person[index] = now
        while crew > 0:
            # Who is free, and if nobody, when somebody is.
            hand = -1
            free = 0
            soonest = never
            for index in range(crew):
                if person[index] <= now:
                    free += 1
                    hand = index
                elif person[index] < soonest:
                    soonest = person[index]
            if free == 0:
                now = soonest
                if now >= closing:
                    break
                continue
            best = -1
            best_key = 0.0
            nearest = never
            for index in range(count):
                stage = live[index]
                since = head[stage]
                if since > now:
                    if since < nearest:
                        nearest = since
                    continue
                if now + duration[stage] > closing:
                    continue
                key = head_key[stage]
                if best >= 0 and (key > best_key or (key == best_key and stage > best)):
                    continue
                blocked = False
                for taken in range(take_from[stage], take_from[stage + 1]):
                    at = pool_free[take[taken]]
                    if at > now:
                        blocked = True
                        if at < nearest:
                            nearest = at
                if not blocked:
                    best = stage
                    best_key = key
            if waits and best >= 0 and free == 1:
                until = never
                for index in range(count):
                    stage = live[index]
                    since = head[stage]
                    if (
                        now < since < now + duration[best]
                        and since - now <= patience[stage]
                        and since + duration[stage] <= closing
                        and head_key[stage] < best_key
                        and since < until
                    ):
                        until = since
                if until < never:
                    now = until
                    continue
            if best < 0:
                now = nearest
                if now >= closing:
                    break
                continue
            unit = done[best]
            starts[task[best] + unit] = now
            placed += 1
            done[best] = unit + 1
            person[hand] = now + duration[best]
            for index in range(take_from[best], take_from[best + 1]):
                pool = take[index]
                for at in range(copy_from[pool], copy_from[pool + 1]):
                    if copy[at] <= now:
                        copy[at] = never
                        break
                soonest = never
                for at in range(copy_from[pool], copy_from[pool + 1]):
                    if copy[at] < soonest:
                        soonest = copy[at]
                pool_free[pool] = soonest
            for index in range(give_from[best], give_from[best + 1]):
                pool = give_pool[index]
                back = now + give_after[index]
                for at in range(copy_from[pool], copy_from[pool + 1]):
                    if copy[at] == never:
                        copy[at] = back
                        break
                if back < pool_free[pool]:
                    pool_free[pool] = back
            # The next unit comes up at this stage, if it has one yet.
            coming = done[best] < units[best] and (
                best == first[order[best]] or done[best - 1] > done[best]
            )
            if coming:
                head_key[best] = keys[task[best] + done[best]]
                if best == first[order[best]]:
                    head[best] = release[order[best]]
                else:
                    head[best] = ready[task[best] + done[best]]
            else:
                count -= 1
                last = live[count]
                live[where[best]] = last
                where[last] = where[best]
            # This unit goes on to the next stage, where it is next or queues.
            after = best + 1
            if after < first[order[best] + 1]:
                ready[task[after] + unit] = now + duration[best] + lag[best]
                if done[after] == unit:
                    head[after] = ready[task[after] + unit]
                    head_key[after] = keys[task[after] + unit]
                    live[count] = after
                    where[after] = count
                    count += 1
    return placed


class Dispatcher:
    """Runs passes over one instance, keeping the room they work in."""

    def __init__(self, stages: Stages, *, compiled: Callable[..., int] | None = None) -> None:
        """Lay the arrays out: as lists for the plain loop, as arrays for a compiled one."""
        self._stages = stages
        self._run: Callable[..., int] = compiled or pass_over
        self._as_arrays = compiled is not None
        given = (
            stages.opens,
            stages.closes,
            stages.persons,
            stages.order,
            stages.duration,
            stages.lag,
            stages.units,
            stages.task,
            stages.first,
            stages.release,
            stages.take_from,
            stages.take,
            stages.give_from,
            stages.give_pool,
            stages.give_after,
            stages.copy_from,
        )
        self._given = tuple(self._integers(values) for values in given)
        room = (
            stages.tasks,
            stages.tasks,
            stages.count,
            None,
            stages.count,
            stages.count,
            stages.count,
            max(stages.persons, default=0),
            stages.copy_from[-1],
            len(stages.copy_from) - 1,
        )
        self._room = tuple(
            self._floats(stages.count) if size is None else self._integers([0] * size)
            for size in room
        )
        self._no_patience = self._integers([0] * stages.count)

    def _integers(self, values: list[int]) -> Any:
        if not self._as_arrays:
            return list(values)
        import numpy as np

        return np.array(values, dtype=np.int64)

    def _floats(self, size: int) -> Any:
        if not self._as_arrays:
            return [0.0] * size
        import numpy as np

        return np.zeros(size)

    def run(
        self,
        keys: Any,
        *,
        patience: Any = None,
        give_up_at: int = NEVER,
    ) -> list[int] | None:
        """Return each order's finish under the keys, None where not all is done in time.

        Args:
            keys: By task; a list for the plain loop, a float array for a compiled one.
            patience: By stage, likewise.
            give_up_at: Openings from this minute on are not used.
        """
        wait = self._no_patience if patience is None else patience
        placed = self._run(*self._given, keys, wait, *self._room, give_up_at)
        if placed < self._stages.tasks:
            return None
        stages, starts = self._stages, self._room[0]
        finishes = []
        for place in range(stages.orders):
            last = stages.first[place + 1] - 1
            at = int(starts[stages.task[last] + stages.units[last] - 1])
            finishes.append(at + stages.duration[last] + stages.lag[last])
        return finishes

    def mean_late(self, place: int, due: int) -> float:
        """Return the mean minutes that an order's units ended after a minute in the last run."""
        stages = self._stages
        last = stages.first[place + 1] - 1
        at = stages.task[last]
        in_time = due - stages.duration[last] - stages.lag[last]
        rows = self._room[0][at : at + stages.units[last]]
        return float(sum(start - in_time for start in rows if start > in_time)) / len(rows)

    def starts(self) -> list[int]:
        """Return the starts of the last run, by task."""
        return [int(at) for at in self._room[0]]
