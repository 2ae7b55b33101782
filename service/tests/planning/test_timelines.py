"""Free time against a list of minutes: the slow way must agree with the quick one."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from mouldwright.planning.routing import NEVER
from mouldwright.planning.timelines import FreeTime, Hours, Room, pausing_fit

LAST = 60

minutes_open = st.lists(st.booleans(), min_size=LAST, max_size=LAST)


def windows_of(open_minutes: list[bool]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for minute, is_open in enumerate(open_minutes):
        if is_open and found and found[-1][1] == minute:
            found[-1] = (found[-1][0], minute + 1)
        elif is_open:
            found.append((minute, minute + 1))
    return found


@given(minutes_open, st.integers(0, LAST), st.integers(1, 12))
def test_the_first_fit_is_the_first_run_of_free_minutes(
    free: list[bool], earliest: int, work: int
) -> None:
    wanted = next((s for s in range(earliest, LAST - work + 1) if all(free[s : s + work])), NEVER)
    assert FreeTime(windows_of(free)).first_fit(earliest, work) == wanted


@given(minutes_open, st.lists(st.tuples(st.integers(0, LAST), st.integers(1, 8)), max_size=8))
def test_what_is_taken_and_given_back_leaves_all_as_it_was(
    free: list[bool], asked: list[tuple[int, int]]
) -> None:
    time = FreeTime(windows_of(free))
    before = (list(time.starts), list(time.ends))
    taken = []
    for earliest, work in asked:
        start = time.first_fit(earliest, work)
        if start < NEVER:
            time.take(start, start + work)
            taken.append((start, start + work))
            assert time.first_fit(start, 1) >= start + work
    for start, end in reversed(taken):
        time.give(start, end)
    assert (time.starts, time.ends) == before


@given(minutes_open, minutes_open, st.integers(0, LAST), st.integers(1, 20))
def test_pausable_work_pauses_only_where_its_person_is_closed(
    is_open: list[bool], busy: list[bool], earliest: int, work: int
) -> None:
    free = [o and not b for o, b in zip(is_open, busy, strict=True)]

    def walk(start: int) -> list[int] | None:
        worked: list[int] = []
        for minute in range(start, LAST):
            if len(worked) == work:
                break
            if is_open[minute] and not free[minute]:
                return None
            if free[minute]:
                worked.append(minute)
        return worked if len(worked) == work else None

    starts = [s for s in range(earliest, LAST) if free[s] and walk(s) is not None]
    # Time that is free but not whole: the same windows, cut where someone else's work lies.
    found = pausing_fit(FreeTime(windows_of(free)), Hours(windows_of(is_open)), earliest, work)
    if not starts:
        assert found is None
        return
    assert found is not None
    worked = [minute for start, end in found for minute in range(start, end)]
    assert worked == walk(starts[0])


@given(
    st.lists(st.tuples(st.integers(0, 30), st.integers(1, 10), st.integers(1, 3)), max_size=8),
    st.integers(0, 40),
    st.integers(1, 10),
    st.integers(1, 4),
)
def test_a_room_takes_parts_as_soon_as_it_holds_them_throughout(
    stays: list[tuple[int, int, int]], earliest: int, length: int, parts: int
) -> None:
    room = Room(4)
    used = [0] * 200
    for start, stay, count in stays:
        at = room.first_fit(start, stay, count)
        room.add(at, at + stay, count)
        for minute in range(at, at + stay):
            used[minute] += count
    assert max(used) <= 4
    wanted = next(
        s for s in range(earliest, 200) if all(u + parts <= 4 for u in used[s : s + length])
    )
    assert room.first_fit(earliest, length, parts) == wanted
