"""What a plan leaves of moulds and of stock, and by when to see to it."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from bench_log import logged, pulled, when
from builders import hands, hold, moulds, opening, order, person, process, shop, week

from mouldwright.domain.material import Lot
from mouldwright.domain.record.mould_ledger import mould_ledgers
from mouldwright.domain.record.mould_life import life_ahead
from mouldwright.domain.record.reservation import PlannedUse, outlook
from mouldwright.domain.supplier import Offer, Supplier

PRESSED = process(hands("load", 10), hands("demould", 5), holds=[hold("load", "demould")])


def bench(*entries, pulls=27, **family):
    made = shop(
        PRESSED,
        [order("1", 10)],
        people=[person("ann")],
        moulds=[moulds(1, pulls=pulls, life_pulls=30, **family)],
    )
    return replace(made, log=logged(*entries))


def ahead(planned, *entries, **family):
    made = bench(*entries, **family)
    return life_ahead(made, mould_ledgers(made)[0], planned, now=when(0))


def test_the_plan_uses_a_mould_up_with_the_pull_that_is_its_last():
    # 30 - 27 = 3 left: the third planned pull is the last.
    found = ahead([when(24), when(72), when(48), when(96)], lead_days=2)
    assert (found.used_up, found.is_by_plan, found.left_after) == (when(72), True, 0)
    assert found.begin_by == when(24)


def test_a_pull_that_was_logged_brings_the_end_nearer():
    entries = pulled(1, "fin-mould 1", charged=1, out=2)
    assert ahead([when(24), when(48)], *entries).used_up == when(48)


def test_beyond_the_plan_its_own_pace_says_when():
    # Five pulls in the ten days of the plan leave 5 of 10: at one in two days, ten days more.
    ends = [when(24 * day) for day in (2, 4, 6, 8, 10)]
    found = ahead(ends, pulls=20)
    assert (found.is_by_plan, found.left_after) == (False, 5)
    assert found.used_up == when(20 * 24)


def test_a_morning_of_many_pulls_is_the_pace_of_a_week_at_least():
    # Five pulls in five hours, and nothing else planned: five a week, so 5 more last a week more.
    found = ahead([when(hour) for hour in range(1, 6)], pulls=20)
    assert found.used_up == when(14 * 24)


def test_two_pulls_say_nothing_of_a_pace():
    found = ahead([when(24), when(48)], pulls=20)
    assert (found.used_up, found.begin_by, found.left_after) == (None, None, 8)


def test_a_mould_that_the_shop_makes_is_begun_by_what_its_making_takes():
    # Two steps of 6 h by hand at eight hours a day: begun at 08:00 they end at 14:00 the next
    # day. Wanted by Thursday 15:00, the latest of the same time of day is Tuesday 15:00 (two
    # hours that day, eight on the next, two on the third).
    making = process(hands("cut", 360, interruptible=True),
                     hands("polish", 360, interruptible=True), key="making")  # fmt: skip
    made = bench(made_by="making")
    made = replace(
        made,
        hours=opening(week("08:00-16:00")),
        processes={**made.processes, "making": making},
    )
    thursday = when(3 * 24 + 15)
    found = life_ahead(
        made,
        mould_ledgers(made)[0],
        [thursday - timedelta(hours=2), thursday - timedelta(hours=1), thursday],
        now=when(0),
    )
    assert found.begin_by == thursday - timedelta(days=2)


def lot(grams, name, **more):
    return Lot(material="resin", grams=Decimal(grams), name=name, **more)


def use(hours, grams):
    return PlannedUse(
        at=when(hours), operation="mix", process="pressed", orders=("1",), material="resin",
        amount=Decimal(grams),
    )  # fmt: skip


def looked(lots, *uses, lead_days=3):
    made = bench()
    offer = Offer(supplier="near", number=1, price=Decimal(9), contains_g={"resin": Decimal(500)})
    near = Supplier(key="near", title="Near", lead_days=lead_days, offers=(offer,))
    return outlook(replace(made, suppliers={"near": near}), "resin", lots, uses, now=when(0))


def test_each_task_is_given_what_expires_first_and_is_good_on_its_day():
    lots = [lot(100, "late", expires=date(2027, 9, 1)), lot(50, "soon", expires=date(2027, 3, 3))]
    found = looked(lots, use(10, 30), use(100, 40))  # the second is on 5 March: soon is over
    assert [each.lots for each in found.reserved] == [(("soon", 30),), (("late", 40),)]
    assert found.wasted == (("soon", date(2027, 3, 3), 20),)
    assert (found.left, found.short, found.runs_out) == (60, 0, None)


def test_what_runs_short_is_ordered_a_day_before_it_is_too_late():
    # 100 g; the third task, on Friday 5 March at 04:00, finds 20 of 40. Three days' delivery, and
    # there the day before: ordered on 1 March.
    found = looked([lot(100, "A")], use(10, 40), use(30, 40), use(100, 40))
    assert (found.runs_out, found.short) == (when(100), 20)
    assert (found.supplier, found.order_by) == ("near", date(2027, 3, 1))


def test_a_delivery_serves_from_its_day_on():
    lots = [lot(10, "A"), lot(500, "next", arrives=date(2027, 3, 3))]
    assert looked(lots, use(10, 40)).short == 30
    assert looked(lots, use(60, 40)).short == 0
