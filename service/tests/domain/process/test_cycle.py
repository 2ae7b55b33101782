from fractions import Fraction

from costing_bench import attended, mould_hold, person, process, resin, shop, unattended
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.hours.opening import Window
from mouldwright.domain.hours.week import MINUTES_A_WEEK
from mouldwright.domain.process.cycle import (
    Step,
    cycles_a_week,
    earliest_run,
    steps_of,
    weekly_calendar,
)

DAY: tuple[Window, ...] = ((480, 720), (765, 1005))
TWO_DAYS: tuple[Window, ...] = (*DAY, *((a + 1440, b + 1440) for a, b in DAY))


def hands(name: str, minutes: int, **more: object) -> Step:
    return Step(name=name, minutes=minutes, hours=(TWO_DAYS,), **more)


def rest(name: str, minutes: int) -> Step:
    return Step(name=name, minutes=minutes, hours=None, wait_max_min=0)


def test_work_that_does_not_pause_lies_whole_within_one_opening() -> None:
    assert earliest_run([hands("load", 30)], 700) == ((765, 795),)
    assert earliest_run([hands("load", 20)], 700) == ((700, 720),)


def test_work_that_may_pause_goes_on_after_lunch() -> None:
    assert earliest_run([hands("sand", 30, interruptible=True)], 700) == ((700, 775),)


def test_a_cure_runs_through_the_night_and_waits_for_someone() -> None:
    run = earliest_run([hands("load", 30), rest("cure", 600), hands("demould", 10)], 900)
    assert run == ((900, 930), (930, 1530), (1920, 1930))


def test_a_step_before_a_short_wait_is_pushed_to_meet_it() -> None:
    # Loading at 700 would end at the lunch break, and closing may wait no longer than 10 min.
    run = earliest_run([hands("load", 20), hands("close", 10, wait_max_min=10)], 700)
    assert run == ((765, 785), (785, 795))


def test_pot_life_pushes_the_mixing() -> None:
    steps = [
        hands("mix", 5),
        hands("load", 60),
        hands("close", 20, pot_life_from=0, pot_life_min=100),
    ]
    # From 640 the closing would fall after lunch, 120 min and more past the mixing.
    assert earliest_run(steps, 640) == ((765, 770), (770, 830), (830, 850))


def test_work_that_may_pause_is_pushed_no_later_than_it_must() -> None:
    # Sanding of 30 min ends at 720 at the earliest; painting has to follow within 5 min, so
    # one minute of it is left for after lunch.
    run = earliest_run(
        [hands("sand", 30, interruptible=True), hands("paint", 10, wait_max_min=5)], 690
    )
    assert run == ((691, 766), (766, 776))


def test_nothing_fits_where_no_opening_is_long_enough() -> None:
    assert earliest_run([hands("load", 300)], 0) is None


def test_of_two_people_the_one_who_ends_first_is_taken() -> None:
    late: tuple[Window, ...] = ((600, 700),)
    step = Step(name="load", minutes=10, hours=(late, DAY))
    assert step.place(0) == (480, 490)


def test_a_day_long_cure_gives_one_cycle_a_working_day() -> None:
    way = process(
        attended("load", "pull", "12"),
        unattended("cure", "pull", "1400"),
        holds=(mould_hold("load", "cure"),),
    )
    bench = shop(way)
    steps = steps_of(bench, way, way.operations, weekly_calendar(bench, 6), members={})
    assert cycles_a_week([steps]) == 5


def test_a_cycle_that_never_fits_gives_nothing() -> None:
    way = process(attended("load", "pull", "300"))
    bench = shop(way)
    steps = steps_of(bench, way, way.operations, weekly_calendar(bench, 6), members={})
    assert cycles_a_week([steps]) == 0


def test_a_cycle_of_no_length_has_no_rate() -> None:
    assert cycles_a_week([[rest("nothing", 0)]]) is None


def test_turns_that_differ_are_counted_together() -> None:
    # 100 and 200 minutes in turn, round the clock: two cycles every 300 min.
    assert cycles_a_week([[rest("a", 100)], [rest("b", 200)]]) == Fraction(MINUTES_A_WEEK * 2, 300)


def test_an_operation_for_two_needs_two_at_once() -> None:
    way = process(attended("carry", "pull", "10", people=2))
    half_days = (((480, 600),), *((),) * 6)
    bench = shop(way, person("ann"), person("bo", weekly=half_days))
    (step,) = steps_of(bench, way, way.operations, weekly_calendar(bench, 3), members={})
    assert step.place(0) == (480, 490)
    assert step.place(595) == (MINUTES_A_WEEK + 480, MINUTES_A_WEEK + 490)


def test_pot_life_is_read_from_the_material_that_is_mixed() -> None:
    way = process(
        attended("mix", "batch", "2", material="resin", pot_life_until="pour"),
        attended("pour", "pull", "3"),
    )
    bench = shop(resin(pot_life_min=7))
    pour = steps_of(bench, way, way.operations, weekly_calendar(bench, 3), members={})[1]
    assert (pour.pot_life_from, pour.pot_life_min) == (0, 7)


@settings(deadline=None, max_examples=60)
@given(
    st.lists(
        st.tuples(st.integers(1, 90), st.booleans(), st.one_of(st.none(), st.integers(0, 30))),
        min_size=1,
        max_size=4,
    ),
    st.integers(0, 900),
    st.integers(0, 60),
)
def test_starting_later_never_ends_sooner_and_every_wait_is_kept(
    plan: list[tuple[int, bool, int | None]], start: int, later: int
) -> None:
    steps = [
        hands(f"s{i}", minutes, interruptible=pauses, wait_max_min=wait)
        for i, (minutes, pauses, wait) in enumerate(plan)
    ]
    early, late = earliest_run(steps, start), earliest_run(steps, start + later)
    if early is None:
        assert late is None
        return
    for step, before, after in zip(steps[1:], early, early[1:], strict=False):
        assert after[0] >= before[1]
        assert step.wait_max_min is None or after[0] - before[1] <= step.wait_max_min
    if late is not None:
        assert late[-1][1] >= early[-1][1]
