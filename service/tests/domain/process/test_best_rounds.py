from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.hours.opening import Window
from mouldwright.domain.hours.week import unrolled
from mouldwright.domain.process.best_rounds import most_parts_a_week
from mouldwright.domain.process.cycle import Step, cycles_a_week, earliest_run

# Every day 08:00-16:00, seven days.
WEEK: tuple[Window, ...] = unrolled([(d * 1440 + 480, d * 1440 + 960) for d in range(7)], 6)


def plate(parts: int, print_min: int) -> tuple[int, tuple[Step, ...]]:
    def hand(name: str) -> Step:
        return Step(name=name, minutes=10, hours=(WEEK,))

    printing = Step(name="print", minutes=print_min, hours=None, wait_max_min=0)
    return parts, (hand("start"), printing, hand("remove"))


def test_a_small_plate_by_day_and_a_large_one_by_night_beat_either_alone() -> None:
    # Large: 5 parts, 900 min of printing. Started at 08:00 it is done at 23:10 and waits for
    # the morning: one a day. Small: 2 parts, 440 min: 08:00 to 15:40 and then one by night:
    # two a day. Small by day and large by night: 7 parts a day.
    small, large = plate(2, 440), plate(5, 900)
    assert most_parts_a_week([large]) == 5 * 7
    assert most_parts_a_week([small]) == 4 * 7
    assert most_parts_a_week([small, large]) == 7 * 7


def test_a_plate_that_never_fits_passes_nothing() -> None:
    never = (3, (Step(name="start", minutes=900, hours=(WEEK,)),))
    assert most_parts_a_week([never]) == 0


def test_no_sizes_at_all_bound_nothing() -> None:
    assert most_parts_a_week([]) is None


def best_by_trying(sizes: list[tuple[int, tuple[Step, ...]]], rounds: int) -> dict[int, int]:
    """Return the earliest end for each number of parts, over every sequence of rounds."""
    ends = {0: 0}
    for _ in range(rounds):
        reached = dict(ends)
        for done, free in ends.items():
            for parts, steps in sizes:
                run = earliest_run(steps, free)
                if run is not None:
                    end = run[-1][1]
                    reached[done + parts] = min(reached.get(done + parts, end), end)
        ends = reached
    return ends


@settings(deadline=None, max_examples=25)
@given(st.lists(st.tuples(st.integers(1, 6), st.integers(60, 1500)), min_size=1, max_size=3))
def test_no_sequence_of_plates_beats_it_by_more_than_its_first_round(
    plates: list[tuple[int, int]],
) -> None:
    sizes = [plate(parts, minutes) for parts, minutes in plates]
    best = most_parts_a_week(sizes)
    assert best is not None
    for parts, steps in sizes:
        alone = cycles_a_week([steps])
        assert alone is not None
        assert best >= parts * alone
    most = max(parts for parts, _ in sizes)
    for done, end in best_by_trying(sizes, 9).items():
        # Over any stretch no more than the rate, but for what a round in hand may add.
        assert done <= Fraction(end) * best / 10080 + 2 * most
