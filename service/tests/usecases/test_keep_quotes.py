from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from decimal import Decimal

import pytest
from promise_bench import DEMO, KEY, NOW, WANTED, freeze, later

from mouldwright.domain.errors import Conflict, InvalidInput
from mouldwright.domain.promise.revision import differences
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import Page
from mouldwright.usecases.quotes import decline, lapse, lapse_one, send, worked_out_again


def test_fifty_who_quote_at_once_get_one_to_fifty_without_gap_or_repeat(either_bench):
    drafted = either_bench.draft()
    with ThreadPoolExecutor(50) as pool:
        kept = list(pool.map(lambda _: either_bench.quoted(drafted), range(50)))
    assert sorted(quote.number for quote in kept) == list(range(1, 51))


def test_a_number_drawn_for_a_quote_that_is_not_kept_is_drawn_again(either_bench):
    with either_bench.units.write(KEY) as unit:
        assert unit.quotes.next_number() == 1
    assert either_bench.quoted().number == 1


def test_a_quote_reads_back_equal_to_what_was_kept(either_bench):
    kept = either_bench.quoted()
    assert either_bench.revision(1) == kept
    assert kept.state == "draft"
    assert kept.inputs.shop_version == 1
    # The stand-in is ready 10 000 minutes from now.
    assert kept.figures.finish == kept.inputs.now + 10_000


def test_an_old_quote_reopens_to_the_same_cents_after_prices_hours_and_moulds_have_changed(
    either_bench,
):
    either_bench.booked(either_bench.draft(replace(WANTED, quantity=3)))
    kept = either_bench.quoted()
    dearer = {
        key: replace(one, wage_per_hour=one.wage_per_hour * 2) for key, one in DEMO.people.items()
    }
    either_bench.change_shop(
        people=dearer,
        hours=DEMO.hours.with_weekly((((600, 660),),) * 7),
        moulds={
            key: replace(family, moulds=family.moulds[:1]) for key, family in DEMO.moulds.items()
        },
        overhead_per_hour=Decimal(99),
    )
    assert either_bench.draft().quote.price.net > kept.figures.net
    assert either_bench.revision(kept.number).document == kept.document
    with either_bench.units.read(KEY) as unit:
        again = worked_out_again(
            unit,
            either_bench.revision(kept.number),
            written=either_bench.written,
            finish=either_bench.finish,
        )
    then = either_bench.written.read(either_bench.written.document(DEMO))
    assert freeze(then, again) == kept.document


def test_a_revision_supersedes_the_one_before_and_says_what_differs(either_bench):
    first = either_bench.sent()
    second = either_bench.revised(1, quantity=20)
    assert (second.number, second.revision, second.state) == (1, 2, "draft")
    assert either_bench.revision(1, 1).state == "superseded"
    assert either_bench.revision(1, 1).document == first.document
    assert "Quantity: was 12, is 20." in differences(first, second)


def test_a_declined_quote_stays_declined_when_a_new_revision_is_made(bench):
    bench.sent()
    bench.done(decline, 1, revision=None, now=NOW)
    bench.revised(1, quantity=6)
    assert [bench.revision(1, n).state for n in (1, 2)] == ["declined", "draft"]


def test_only_the_sent_quotes_whose_last_day_is_over_lapse(either_bench):
    either_bench.quoted()
    either_bench.sent()
    last_day = either_bench.revision(2).figures.valid_until
    days = (last_day - NOW.date()).days
    assert either_bench.done(lapse, now=later(days=days)) == ()
    lapsed = either_bench.done(lapse, now=later(days=days + 1))
    assert [quote.number for quote in lapsed] == [2]
    assert [either_bench.revision(n).state for n in (1, 2)] == ["draft", "lapsed"]


def test_a_quote_that_still_stands_cannot_be_let_lapse(bench):
    bench.sent()
    with pytest.raises(Conflict, match="stands until"):
        bench.done(lapse_one, 1, revision=None, now=NOW)


def test_a_draft_whose_last_day_is_over_cannot_be_sent(bench):
    bench.quoted()
    with pytest.raises(Conflict, match="stood until"):
        bench.done(send, 1, revision=None, now=later(days=400))


def test_a_quantity_that_is_none_is_refused_before_a_number_is_drawn(bench):
    with pytest.raises(InvalidInput):
        bench.draft(replace(WANTED, quantity=0))
    assert bench.quoted().number == 1


def test_an_unknown_quote_is_said_to_be_unknown(bench):
    with pytest.raises(Unknown, match="no quote '7'"):
        bench.revision(7)


def test_quotes_are_listed_newest_first_a_page_at_a_time_and_by_state(either_bench):
    drafted = either_bench.draft()
    for _ in range(5):
        either_bench.quoted(drafted)
    either_bench.done(send, 2, revision=None, now=NOW)
    with either_bench.units.read(KEY) as unit:
        first = unit.quotes.listed(Page(limit=3))
        rest = unit.quotes.listed(Page(limit=3, after=first[-1].number))
        sent = unit.quotes.listed(Page(), state="sent")
    assert [q.number for q in first] == [5, 4, 3]
    assert [q.number for q in rest] == [2, 1]
    assert [q.number for q in sent] == [2]
    assert sent[0].net == either_bench.revision(2).figures.net


def test_an_erased_customer_leaves_the_figures_and_the_document_as_they_were(either_bench):
    kept = either_bench.booked()
    before = either_bench.revision(1)
    with either_bench.units.write(KEY) as unit:
        assert unit.quotes.forget_customer("Tern survey club") == 1
        assert unit.bookings.forget_customer("Tern survey club") == 1
        unit.commit()
    after = either_bench.revision(1)
    assert after == replace(before, customer="")
    assert "Tern" not in after.document
    assert either_bench.booking(kept.order.number).order.customer == ""
