"""Quotes with more agreed than part and quantity: kept, made anew to the cent, changed, erased."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

from promise_bench import DEMO, KEY, NOW, WANTED

from mouldwright.domain.material import Stock
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Discount, RushTier
from mouldwright.domain.terms import Delivery, Terms
from mouldwright.usecases.promise_lists import forget_customer
from mouldwright.usecases.quotes import worked_out_again
from mouldwright.wire.answers.quote import QuoteAnswer

POLICY = replace(
    DEMO.price,
    discounts=(Discount(who="club", of_goods=Decimal("0.05")),),
    rush=(RushTier(days_sooner=1, surcharge=Decimal("0.2")),),
)
TERMS = Terms(
    customer_class="club",
    discount_amount=Decimal("4.20"),
    deliveries=(
        Delivery(quantity=5, due=datetime(2027, 3, 5, 17, tzinfo=UTC), rush=True),
        Delivery(quantity=7),
    ),
)
ASKED = replace(WANTED, terms=TERMS, address=("2 Quay Lane", "Reedmouth"))


def with_policy(bench):
    # Without a stock to look at, haste waits for no delivery.
    bench.change_shop(price=POLICY, stock=Stock())
    return bench


def answer_of(revision):
    return QuoteAnswer.model_validate_json(revision.document)


def test_what_is_agreed_is_kept_with_the_quote(either_bench):
    bench = with_policy(either_bench)
    made = bench.quoted(bench.draft(ASKED))
    kept = bench.revision(made.number)
    assert kept == made
    assert (kept.inputs.terms, kept.address) == (TERMS, ("2 Quay Lane", "Reedmouth"))


def test_it_is_made_anew_to_the_cent_after_the_discount_has_gone(bench):
    with_policy(bench)
    made = bench.quoted(bench.draft(ASKED))
    bench.change_shop(price=DEMO.price)
    with bench.units.read(KEY) as unit:
        again = worked_out_again(unit, made, written=bench.written, finish=bench.finish)
    assert again.price.gross == made.figures.gross
    assert again.lines[2].text == "Discount for club, 5 % of the goods"


def test_the_lines_of_a_split_order_are_of_its_deliveries(bench):
    with_policy(bench)

    def at_once(_shop, _key, _process, _quantity, now, _held):
        """Before what is booked: the same day."""
        return ReadyBy(finish=now)

    answer = answer_of(bench.quoted(bench.draft(ASKED, hurried=at_once)))
    each = Decimal(answer.price_each)
    # The stand-in is ready on 8 March, three days after 5 March: 20 % on five of twelve.
    said = [(line.kind, line.delivery, Decimal(line.amount)) for line in answer.lines]
    cent = Decimal("0.01")
    assert said == [
        ("parts", 1, each * 5),
        ("parts", 2, each * 7),
        ("discount", None, -(each * 12 * Decimal("0.05")).quantize(cent)),
        ("discount-amount", None, Decimal("-4.20")),
        ("rush", 1, (each * 5 * Decimal("0.2")).quantize(cent)),
    ]
    assert [(d.quantity, d.late) for d in answer.deliveries] == [(5, False), (7, False)]


def test_a_revision_keeps_what_was_agreed_and_says_what_changed(bench):
    with_policy(bench)
    bench.quoted(bench.draft(ASKED))
    changed = replace(ASKED, terms=TERMS.at(10), quantity=10)
    drafted = bench.draft(changed, revises=1)
    assert [each.quantity for each in drafted.inputs.terms.deliveries] == [5, 5]


def test_erasing_a_customer_erases_the_address_and_no_figure(bench):
    with_policy(bench)
    made = bench.quoted(bench.draft(ASKED))
    assert bench.done(forget_customer, ASKED.customer) == 1
    kept = bench.revision(made.number)
    assert (kept.customer, kept.address, kept.document) == ("", (), made.document)


def test_the_day_that_was_promised_ends_when_the_bench_closes(bench):
    figures = bench.quoted(bench.draft(WANTED)).figures
    # Monday 8 March, open until 17:15 in Lisbon, which keeps UTC in March.
    assert figures.day_ends == int(datetime(2027, 3, 8, 17, 15, tzinfo=UTC).timestamp() // 60)
    assert datetime(2027, 3, 8, tzinfo=UTC) > NOW


def test_what_is_ready_on_a_day_off_is_due_by_the_end_of_the_next_open_day(bench):
    # 5 days and 4 hours from Monday 8:00 is Saturday 6 March noon: the once-opened Saturday
    # closes at 12:00. An hour later it is Monday's closing that counts.
    bench.finish.minutes = 5 * 1440 + 240
    assert bench.quoted(bench.draft(WANTED)).figures.day_ends == _minute(6, 12, 0)
    bench.finish.minutes += 60
    assert bench.quoted(bench.draft(WANTED)).figures.day_ends == _minute(8, 17, 15)


def _minute(day: int, hour: int, minute: int) -> int:
    return int(datetime(2027, 3, day, hour, minute, tzinfo=UTC).timestamp() // 60)
