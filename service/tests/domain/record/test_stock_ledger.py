"""The ledger of stock: opening + received - used + counted differences = left, to the digit."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from bench_log import done, entry, logged, members, used, when, work
from builders import hands, order, process, shop
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.material import Lot, Material, Stock
from mouldwright.domain.record.log import Happening, LoggedTask
from mouldwright.domain.record.lot_ledger import UNKNOWN_LOT
from mouldwright.domain.record.stock_ledger import stock_as_it_stands, stock_book
from mouldwright.scenario.demo import open_demo

DEMO = open_demo("foil-bench").shop
MIX = LoggedTask(
    operation="mix",
    process="pressed",
    part="stabiliser",
    members=members("1001", pulls=[1, 2, 3]),
)


def resin(grams, name="", **more):
    return Lot(material="resin", grams=Decimal(str(grams)), name=name, **more)


def bench(*entries, lots=(), counted=None):
    made = shop(process(hands("load", 10)), [order("1", 10)])
    return replace(
        made,
        materials={"resin": Material(key="resin", title="Resin", density_kg_m3=1100)},
        stock=Stock(lots={"resin": tuple(lots)} if lots else {}),
        log=logged(*entries),
        counted=counted,
    )


def ledger(*entries, at=None, **more):
    return stock_book(bench(*entries, **more), at=at).ledgers["resin"]


def left(found):
    return {lot.name: lot.left for lot in found.lots}


def taken(hours, amount, lot="A", pull=1):
    return done(hours, work("load", pulls=[pull]), used=(used("resin", lot, amount),))[0]


def test_three_pulls_take_what_their_mix_card_says_of_what_expires_first():
    # The demo shop's README works it out: 185.8 g of fibre, and a cup of 156.0 g that is
    # 120.0 of resin and 36.0 of hardener at 100 : 30.
    early = Lot(material="epoxy-resin", grams=Decimal(100), expires=date(2027, 5, 1), name="early")
    stock = Stock(lots={**DEMO.stock.lots, "epoxy-resin": (*DEMO.stock.lots["epoxy-resin"], early)})
    logged_mix = replace(entry(Happening.FINISHED, 10, task=MIX), number=1)
    made = replace(DEMO, stock=stock, log=(logged_mix,))
    book = stock_book(made)
    assert left(book.ledgers["epoxy-resin"]) == {"1": Decimal(440), "early": Decimal(0)}
    assert book.ledgers["epoxy-hardener"].used == Decimal("36.0")
    assert book.ledgers["chopped-carbon"].left == Decimal("234.2")  # 420 - 185.8
    assert [dict(use.shares) for use in book.uses] == [{"1001": 1}]
    assert all(each.balances for each in book.ledgers.values())


def test_what_was_noted_of_a_task_goes_before_its_recipe():
    noted = (used("epoxy-resin", "1", "123.4"),)
    made = replace(DEMO, log=logged(*done(10, MIX, used=noted)))
    book = stock_book(made)
    assert book.ledgers["epoxy-resin"].used == Decimal("123.4")
    assert book.ledgers["epoxy-hardener"].used == Decimal("36.0")  # of that nothing was noted


def test_a_mix_that_is_begun_is_out_of_the_stock_and_its_end_takes_no_second_one():
    begun = entry(Happening.STARTED, 9.5, task=MIX)
    for entries in ([begun], [begun, *done(10, MIX)]):
        made = replace(DEMO, log=logged(*entries))
        assert stock_book(made).ledgers["epoxy-resin"].used == Decimal("120.0")


def test_a_mix_for_two_orders_is_shared_by_what_each_takes():
    both = replace(MIX, members=(*members("1001", pulls=[1, 2, 3]), *members("9", pulls=[1])))
    made = replace(
        DEMO,
        orders=(*DEMO.orders, replace(DEMO.orders[0], number="9")),
        log=logged(*done(10, both)),
    )
    (use,) = stock_book(made).uses
    assert {order: float(share) for order, share in use.shares.items()} == {"1001": 0.75, "9": 0.25}


def test_what_was_used_before_the_count_moves_nothing():
    found = ledger(taken(1, 30), taken(9, 20, pull=2), lots=[resin(100, "A")], counted=when(8))
    assert (found.opening, found.used, found.left) == (100, 20, 80)


def test_a_count_of_one_lot_sets_it_and_keeps_the_difference():
    counted = entry(Happening.STOCK_COUNTED, 10, material="resin", lot="A", amount="68.5")
    found = ledger(taken(1, 30), counted, taken(11, 8.5, pull=2), lots=[resin(100, "A")])
    assert (found.counted, found.left) == (Decimal("-1.5"), 60)
    assert found.balances


def test_a_count_of_a_material_takes_what_lacks_off_what_expires_first():
    lots = [
        resin(100, "late", expires=date(2027, 9, 1)),
        resin(50, "soon", expires=date(2027, 4, 1)),
    ]
    counted = entry(Happening.STOCK_COUNTED, 10, material="resin", amount=90)
    assert left(ledger(counted, lots=lots)) == {"late": 90, "soon": 0}
    more = entry(Happening.STOCK_COUNTED, 10, material="resin", amount=160)
    assert left(ledger(more, lots=lots)) == {"late": 110, "soon": 50}


def test_work_that_took_more_than_is_known_of_is_said_and_settled_by_a_count():
    found = ledger(taken(1, 30, lot="B"), lots=[resin(100, "A")])
    assert left(found) == {"A": 100, "B": -30}  # a lot that nobody wrote down
    made = replace(
        DEMO,
        stock=Stock(lots={"epoxy-resin": (Lot(material="epoxy-resin", grams=Decimal(100)),)}),
        log=logged(*done(10, MIX)),
    )
    found = stock_book(made).ledgers["epoxy-resin"]
    assert (found.unaccounted, found.left) == (20, -20)
    assert found.balances
    counted = entry(Happening.STOCK_COUNTED, 11, material="epoxy-resin", amount=40)
    found = stock_book(replace(made, log=logged(*done(10, MIX), counted))).ledgers["epoxy-resin"]
    assert (found.unaccounted, found.left) == (0, 40)
    assert UNKNOWN_LOT not in stock_as_it_stands(made).lots["epoxy-resin"]


def test_what_came_is_a_lot_with_what_was_paid_for_it():
    came = entry(
        Happening.RECEIVED, 5, material="resin", lot="B", amount=1000, paid="38.00",
        best_before="2028-03-01",
    )  # fmt: skip
    found = ledger(came, taken(6, 250, lot="B"), lots=[resin(100, "A")])
    assert left(found) == {"A": 100, "B": 750}
    (lot,) = [each for each in found.lots if each.name == "B"]
    assert (lot.expires, lot.paid_each) == (date(2028, 3, 1), Decimal("0.038"))
    stands = stock_as_it_stands(bench(came, taken(6, 250, lot="B"), lots=[resin(100, "A")]))
    assert [(each.name, each.grams, each.paid) for each in stands.lots["resin"]] == [
        ("A", 100, None),
        ("B", 750, Decimal("28.5")),
    ]


def test_a_receipt_is_the_delivery_that_was_expected_and_is_not_there_twice():
    lots = [resin(100, "A"), resin(500, "next", arrives=date(2027, 3, 3))]
    came = entry(Happening.RECEIVED, 70, material="resin", amount=480)  # on 3 March at 22:00
    found = ledger(came, lots=lots, counted=when(0), at=when(100))
    assert (found.received, found.left) == (480, 580)
    # Nobody noted it: it is taken as there from the day it was to come.
    assert ledger(lots=lots, counted=when(0), at=when(47)).left == 100
    assert ledger(lots=lots, counted=when(0), at=when(48)).left == 600


def test_a_late_delivery_comes_when_it_is_said_to():
    lots = [resin(100, "A"), resin(500, "next", arrives=date(2027, 3, 3))]
    late = entry(Happening.DELIVERY_LATE, 20, material="resin", until=when(96))  # to 5 March
    assert ledger(late, lots=lots, counted=when(0), at=when(60)).left == 100
    stands = stock_as_it_stands(bench(late, lots=lots, counted=when(0)), at=when(60))
    assert [(each.grams, each.arrives) for each in stands.lots["resin"]] == [
        (100, None),
        (500, date(2027, 3, 5)),
    ]
    assert ledger(late, lots=lots, counted=when(0), at=when(96)).left == 600


def test_a_lot_past_its_day_is_used_last():
    lots = [resin(50, "old", expires=date(2027, 2, 1)), resin(50, "new", expires=date(2027, 9, 1))]
    made = bench(lots=lots)
    demo = replace(
        DEMO,
        stock=Stock(
            lots={"epoxy-resin": tuple(replace(lot, material="epoxy-resin") for lot in lots)}
        ),
        log=logged(*done(10, replace(MIX, members=members("1001", pulls=[1])))),
    )
    # One pull takes 54.66 g of mix, 60 the least that is mixed: 46.2 of resin at 100 : 30.
    assert left(stock_book(demo).ledgers["epoxy-resin"]) == {"old": 50, "new": Decimal("3.8")}
    assert stock_as_it_stands(made).lots["resin"][0].name == "old"


grams = st.decimals(0, 500, places=3)
happenings = st.lists(
    st.tuples(
        st.sampled_from(["use", "mix", "received", "counted", "counted all", "late", "back"]),
        st.sampled_from(["A", "B", "C"]),
        grams,
        st.integers(0, 300),
    ),
    max_size=25,
)
shelves = st.lists(
    st.tuples(grams, st.none() | st.dates(date(2027, 1, 1), date(2027, 12, 1))), max_size=3
)


@given(happenings, shelves, st.sampled_from([None, when(60)]), st.sampled_from([None, when(150)]))
def test_whatever_is_logged_the_ledger_balances(drawn, shelf, counted, at):
    entries = []
    for act, name, amount, hours in drawn:
        resin_of = {"material": "epoxy-resin", "amount": amount}
        if act == "use":
            noted = (used("epoxy-resin", name, amount),)
            entries += done(hours, replace(MIX, operation="load"), used=noted)
        elif act == "mix":
            entries += done(hours, replace(MIX, members=members("1001", pulls=[hours + 1])))
        elif act == "received":
            entries.append(entry(Happening.RECEIVED, hours, lot=name, **resin_of))
        elif act == "counted":
            entries.append(entry(Happening.STOCK_COUNTED, hours, lot=name, **resin_of))
        elif act == "counted all":
            entries.append(entry(Happening.STOCK_COUNTED, hours, **resin_of))
        elif act == "late":
            later = {"material": "epoxy-resin", "until": when(hours + 30)}
            entries.append(entry(Happening.DELIVERY_LATE, hours, **later))
        elif entries:
            entries.append(entry(Happening.TAKEN_BACK, hours, takes_back=hours % len(entries) + 1))
    lots = tuple(
        Lot(material="epoxy-resin", grams=amount, arrives=day if place else None)
        for place, (amount, day) in enumerate(shelf)
    )
    made = replace(
        DEMO,
        start=None,
        counted=counted,
        stock=Stock(lots={"epoxy-resin": lots}),
        log=logged(*entries),
    )
    book = stock_book(made, at=at)
    for found in book.ledgers.values():
        assert found.balances
        for lot in found.lots:
            running = Decimal(0)
            for line in lot.lines:
                running += line.amount
                assert line.left == running
    since = [use for use in book.uses if counted is None or use.done.last_known >= counted]
    drawn_in_all = sum((each.amount for use in since for each in use.taken
                        if each.lot.material == "epoxy-resin"), Decimal(0))  # fmt: skip
    assert drawn_in_all == sum(
        (found.used for key, found in book.ledgers.items() if key == "epoxy-resin"), Decimal(0)
    )
    stands = stock_as_it_stands(made, at=at).lots.get("epoxy-resin", ())
    kept = [lot for lot in stands if lot.arrives is None]
    assert (
        sum((lot.grams for lot in kept), Decimal(0))
        == sum(
            (max(lot.left, Decimal(0)) for lot in book.ledgers["epoxy-resin"].lots if lot.name),
            Decimal(0),
        )
        if "epoxy-resin" in book.ledgers
        else not kept
    )
