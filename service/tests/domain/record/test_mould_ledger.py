"""The ledger of moulds: what the log counts on each, and what it leaves of its life."""

from dataclasses import replace

from bench_log import done, entry, logged, members, pulled, when, work
from builders import alone, hands, hold, moulds, order, process, shop
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.record.log import Happening
from mouldwright.domain.record.mould_ledger import mould_ledgers, moulds_as_they_stand

PRESSED = process(
    hands("load", 10),
    alone("cure", 600),
    hands("demould", 5),
    hands("inspect", 2, per="part"),
    holds=[hold("load", "demould")],
    conditioning=hands("condition", 20, per="conditioning"),
)


def bench(*entries, counted=None, **family):
    made = shop(
        PRESSED,
        [order("1", 10), order("2", 10)],
        moulds=[moulds(2, **{"life_pulls": 30, **family})],
    )
    return replace(made, log=logged(*entries), counted=counted)


def ledger(*entries, number="1", **more):
    found = mould_ledgers(bench(*entries, **more))
    return next(each for each in found if each.number == number)


def test_a_pull_counts_on_the_mould_it_was_really_taken_from():
    first = pulled(1, "fin-mould 1", charged=8, out=20)
    second = pulled(2, "fin-mould 2", charged=8, out=20)
    third = pulled(3, "fin-mould 1", charged=21, out=32)
    found = ledger(*first, *second, *third, pulls=5)
    # By hand: 5 written, 2 taken since, of a life of 30.
    assert (found.pulls, found.life_left) == (7, 23)
    assert dict(found.pulled_by) == {"ines": 2}
    assert ledger(*first, *second, *third, pulls=5, number="2").pulls == 6


def test_a_pull_still_in_the_mould_is_not_taken_yet():
    found = ledger(*done(8, work("load", mould="fin-mould 1", pulls=[1])))
    assert found.pulls == 0
    assert found.in_it is not None
    assert found.in_it.number == 1


def test_what_happened_before_the_count_is_history_and_not_counted_again():
    found = ledger(
        *pulled(1, "fin-mould 1", charged=1, out=5),
        *pulled(2, "fin-mould 1", charged=9, out=20),
        counted=when(8),
        pulls=12,
    )
    assert found.pulls == 13
    assert [move.is_counted for move in found.moves] == [False, True]


def test_a_pull_of_which_only_a_later_step_is_noted_was_taken_all_the_same():
    found = ledger(
        *done(8, work("load", mould="fin-mould 1", pulls=[1])),
        *done(30, work("inspect", pulls=[1], parts=[1])),
    )
    assert found.pulls == 1
    assert found.in_it is None


def test_a_pull_that_was_stopped_wears_the_mould_once():
    stopped = entry(
        Happening.STOPPED,
        12,
        task=work("cure", mould="fin-mould 1", pulls=[1]),
        cause="cold night",
    )
    found = ledger(*done(8, work("load", mould="fin-mould 1", pulls=[1])), stopped)
    assert found.pulls == 1
    assert [(d.what, d.cause, d.parts) for d in found.defects] == [("scrapped", "cold night", 1)]
    taken = done(20, work("demould", mould="fin-mould 1", pulls=[1]))
    assert (
        ledger(*done(8, work("load", mould="fin-mould 1", pulls=[1])), stopped, *taken).pulls == 1
    )


def test_an_entry_taken_back_takes_its_pull_off_again():
    entries = (*pulled(1, "fin-mould 1", charged=8, out=20),)
    both = logged(*entries)
    back = replace(both[1], number=3, what=Happening.TAKEN_BACK, takes_back=2, task=None, people=())
    found = mould_ledgers(replace(bench(), log=(*both, back)))[0]
    assert found.pulls == 0
    assert found.in_it is not None


def test_the_pull_that_loses_a_mould_counts_and_the_mould_is_gone():
    # A stuck part destroys the mould at its seventh pull: the six before it stay.
    six = [e for n in range(1, 7) for e in pulled(n, "fin-mould 1", charged=n * 24, out=n * 24 + 9)]
    lost = entry(Happening.MOULD_LOST, 170, mould="fin-mould 1", cause="part stuck")
    made = bench(*six, *done(168, work("load", mould="fin-mould 1", pulls=[7])), lost)
    found = mould_ledgers(made)[0]
    assert (found.pulls, found.good, found.life_left) == (7, 6, 0)
    assert found.gone == when(170)
    assert [(d.cause, d.parts) for d in found.defects] == [("part stuck", 1)]
    assert [m.number for m in moulds_as_they_stand(made)["fin-mould"].moulds] == ["2"]
    assert len(moulds_as_they_stand(made, at=when(169))["fin-mould"].moulds) == 2


def test_conditioning_is_due_by_pulls_and_begins_the_count_again():
    three = [
        e for n in range(1, 4) for e in pulled(n, "fin-mould 1", charged=n * 24, out=n * 24 + 9)
    ]
    found = ledger(*three, conditioned_every_pulls=3)
    assert (found.since, found.coats_due, found.until_conditioning) == (3, 1, 0)
    found = ledger(*three, *done(90, work("condition", mould="fin-mould 1")),
                   conditioned_every_pulls=3)  # fmt: skip
    assert (found.since, found.coats_due, found.until_conditioning) == (0, 0, 3)


def test_a_new_mould_takes_eight_coats_over_its_first_eight_pulls():
    # 4 coats when new, then 2, then 1, then one every fifth: 4+2+1+0+0+0+0+1 = 8 (common
    # practice, no source).
    entries, coats = [], 0
    for pull in range(1, 9):
        waxed = {"coats": (4, 2, 1), "coats_every": 5}
        due = ledger(*entries, **waxed).coats_due
        coats += due
        for nth in range(due):
            at = pull * 24 + nth / 10
            entries += done(at, work("condition", mould="fin-mould 1"))
        assert ledger(*entries, **waxed).coats_due == 0
        entries += pulled(pull, "fin-mould 1", charged=pull * 24 + 1, out=pull * 24 + 9)
    assert coats == 8


def test_a_mould_that_the_shop_made_is_there_from_its_last_step_on():
    making = process(hands("print insert", 60), hands("seal", 10), key="make-mould")
    made = bench(
        *done(5, work("print insert", mould="fin-mould 3", process="make-mould")),
        *done(9, work("seal", mould="fin-mould 3", process="make-mould")),
        *pulled(1, "fin-mould 3", charged=10, out=20),
        made_by="make-mould",
    )
    made = replace(made, processes={**made.processes, "make-mould": making})
    assert [m.number for m in moulds_as_they_stand(made)["fin-mould"].moulds] == ["1", "2", "3"]
    found = mould_ledgers(made)[2]
    assert (found.opening_pulls, found.pulls) == (0, 1)
    assert [move.what for move in found.moves] == ["made", "pull"]


def test_defects_are_told_by_cause_and_a_second_that_was_scrapped_is_scrap():
    entries = [
        e for n in range(1, 5) for e in pulled(n, "fin-mould 1", charged=n * 24, out=n * 24 + 9)
    ]
    found = ledger(
        *entries,
        entry(Happening.SECOND, 130, members=members(parts=[1, 2]), cause="pinholes"),
        entry(Happening.SCRAPPED, 131, members=members(parts=[2]), cause="void"),
        entry(Happening.SCRAPPED, 132, members=members(pulls=[4]), cause="void"),
        entry(Happening.RETURNED, 140, members=members(parts=[3]), cause="crash"),
    )
    assert [(d.what, d.cause, d.parts) for d in found.defects] == [
        ("scrapped", "void", 2),
        ("returned", "crash", 1),
        ("second", "pinholes", 1),
    ]
    assert found.good == 1  # of four, two are scrap and one is a second


acts = st.lists(
    st.tuples(
        st.sampled_from(
            ["load", "demould", "inspect", "condition", "stop", "scrap", "lost", "retired", "back"]
        ),
        st.integers(1, 6),
        st.integers(1, 3),
        st.integers(0, 200),
    ),
    max_size=40,
)


@given(acts, st.sampled_from([None, when(50), when(120)]), st.integers(0, 20))
def test_whatever_is_logged_opening_and_counted_pulls_add_up(drawn, counted, opening):
    entries = []
    for act, pull, tool, hours in drawn:
        mould = f"fin-mould {tool}"
        if act in ("load", "demould"):
            entries += done(hours, work(act, mould=mould, pulls=[pull]))
        elif act == "inspect":
            entries += done(hours, work(act, pulls=[pull], parts=[pull]))
        elif act == "condition":
            entries += done(hours, work(act, mould=mould))
        elif act == "stop":
            task = work("cure", mould=mould, pulls=[pull])
            entries.append(entry(Happening.STOPPED, hours, task=task))
        elif act == "scrap":
            entries.append(entry(Happening.SCRAPPED, hours, members=members(pulls=[pull])))
        elif act == "back":
            if entries:
                back = pull % len(entries) + 1
                entries.append(entry(Happening.TAKEN_BACK, hours, takes_back=back))
        else:
            kind = Happening.MOULD_LOST if act == "lost" else Happening.MOULD_RETIRED
            entries.append(entry(kind, hours, mould=mould))
    found = mould_ledgers(bench(*entries, counted=counted, pulls=opening))
    seen = []
    for each in found:
        assert each.pulls == each.opening_pulls + each.counted_pulls
        assert each.life_left in (0, 30 - each.pulls)
        seen += [(m.taken.order, m.taken.number) for m in each.moves if m.taken is not None]
    assert len(seen) == len(set(seen))  # no pull on two moulds, nor twice on one
