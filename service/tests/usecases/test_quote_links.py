"""A customer's link: what its holder sees of one quote, and what an answer by it does."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from itertools import count

import pytest
from promise_bench import DEMO, KEY, NOW, version_of

from mouldwright.domain.errors import Conflict
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.quote_links import (
    answer_by_link,
    make_link,
    offer_of,
    opened_link,
    withdraw_link,
)
from mouldwright.usecases.quotes import decline
from mouldwright.usecases.services import Limits, Services

_DRAWN = count(1)


class Links:
    """A bench, the services on it, and links made in a few words."""

    def __init__(self, bench):
        self.bench, self.now = bench, NOW
        self.services = Services(
            units=bench.units, written=bench.written, clock=lambda: self.now,
            chance=lambda: f"drawn-{next(_DRAWN):06d}-abcdefghijk", limits=Limits(),
            alive=lambda: None, called=(), finish=bench.finish,
        )  # fmt: skip

    def made(self, quote, **more):
        asked = {"days": None, "may_answer": True, "by": "a token", "now": NOW} | more
        return self.bench.done(make_link, quote, chance=self.services.chance, **asked)

    def opened(self, made):
        return opened_link(self.bench.units, made.secret, now=self.now)

    def offer(self, made):
        return offer_of(self.services, self.opened(made))

    def answer(self, made, answer="accepted", revision=1):
        answer_by_link(self.services, self.opened(made), revision, answer)


@pytest.fixture
def links(either_bench):
    return Links(either_bench)


def test_a_link_opens_until_its_time_is_over_or_it_is_withdrawn(links):
    links.bench.sent()
    short, long = links.made(1, days=2), links.made(1)
    assert links.opened(short).quote == 1
    links.now += timedelta(days=2)
    with pytest.raises(Unknown):
        links.opened(short)
    assert links.opened(long).id == long.link.id
    withdraw_link(links.bench.units, KEY, 1, long.link.id, now=links.now)
    with pytest.raises(Unknown):
        links.opened(long)
    with pytest.raises(Unknown):
        opened_link(links.bench.units, "no such", now=NOW)


def test_its_holder_sees_what_was_given_out_and_no_draft(links):
    links.bench.quoted()
    link = links.made(1)
    assert links.offer(link).shown is None
    links.bench.revised(1, quantity=30)
    # The first was a draft that another took the place of: it was never given out.
    assert links.offer(link).shown is None


def test_an_offer_that_is_declined_is_still_seen_while_another_is_drafted(links):
    links.bench.sent()
    link = links.made(1)
    assert (links.offer(link).shown.revision, links.offer(link).is_open) == (1, True)
    links.bench.done(decline, 1, revision=None, now=NOW)
    links.bench.revised(1, quantity=30)
    offer = links.offer(link)
    assert (offer.shown.revision, offer.shown.state, offer.is_open) == (1, "declined", False)


def test_accepting_books_once_however_many_press_at_once(links):
    links.bench.sent()
    link = links.made(1)
    with ThreadPoolExecutor(6) as pool:
        list(pool.map(lambda _: links.answer(link), range(6)))
    links.answer(link)
    with links.bench.units.read(KEY) as unit:
        assert len(unit.bookings.open()) == 1
        assert [run.why for run in unit.runs.listed()] == ["quote 1 was accepted"]
        noted = unit.links.by_id(1, link.link.id)
    assert (noted.answer, noted.answered_at) == ("accepted", NOW)
    # It was looked at again once, and found ready when the planner's stand-in says.
    assert links.offer(link).booking.expected == int(NOW.timestamp()) // 60 + 10_000


def test_a_promise_that_moved_is_noted_with_the_order(links):
    links.bench.sent()
    links.bench.finish.minutes += 1440
    link = links.made(1)
    links.answer(link)
    assert links.offer(link).booking.moved_min("Europe/Lisbon") == 1440


def test_declining_is_done_once_and_books_nothing(links):
    links.bench.sent()
    link = links.made(1)
    for _ in range(2):
        links.answer(link, "declined")
    assert links.offer(link).shown.state == "declined"
    with pytest.raises(Conflict):
        links.answer(link)
    with links.bench.units.read(KEY) as unit:
        assert unit.bookings.by_quote(1) is None


def test_a_link_that_may_only_look_answers_nothing(links):
    links.bench.sent()
    link = links.made(1, may_answer=False)
    assert not links.offer(link).is_open
    for answer in ("accepted", "declined"):
        with pytest.raises(Unknown):
            links.answer(link, answer)
    assert links.bench.revision(1).state == "sent"


def test_a_link_withdrawn_between_looking_and_pressing_answers_nothing(links):
    links.bench.sent()
    link = links.made(1)
    opened = links.opened(link)
    withdraw_link(links.bench.units, KEY, 1, link.link.id, now=NOW)
    with pytest.raises(Unknown):
        answer_by_link(links.services, opened, 1, "accepted")
    assert links.bench.revision(1).state == "sent"


def test_a_revision_that_another_took_the_place_of_cannot_be_accepted(links):
    links.bench.sent()
    link = links.made(1)
    links.bench.revised(1, quantity=30)
    with pytest.raises(Conflict, match="superseded"):
        links.answer(link)


def test_an_offer_past_its_day_is_seen_lapsed_and_cannot_be_accepted(links):
    links.bench.sent()
    link = links.made(1, days=365)
    links.now += timedelta(days=DEMO.price.valid_days + 1)
    with pytest.raises(Conflict):
        links.answer(link)
    offer = links.offer(link)
    assert (offer.shown.state, offer.is_open) == ("lapsed", False)


def test_a_link_reaches_no_other_shops_quote_of_the_same_number(links):
    other = replace(version_of(links.bench.written, DEMO, 1), key="next-door")
    with links.bench.units.write_house() as house:
        house.house.add_shop(other)
        house.commit()
    links.bench.sent()
    link = links.made(1)
    with links.bench.units.write("next-door") as unit:
        assert unit.links.listed(1) == ()
        for verb in (unit.links.by_id, lambda *at: unit.links.revoke(*at, NOW)):
            with pytest.raises(Unknown):
                verb(1, link.link.id)
        with pytest.raises(ValueError, match="next-door"):
            unit.links.add(link.link, "0" * 64)
    with links.bench.units.write(KEY) as unit, pytest.raises(Unknown):
        unit.links.by_id(2, link.link.id)
