"""A customer's link to one quote, asked as a browser without a session would."""

from __future__ import annotations

import httpx
import pytest


@pytest.fixture
def shop(keeper, new_shop_key, demo):
    return keeper.add_shop(new_shop_key(), demo)


def shared(shop, **more):
    quote = shop.quotes.make("stabiliser", 2, process="printed", customer="A club")
    shop.quotes.send(quote)
    return quote.value.number, shop.quotes.share(quote.value.number, **more)


def test_a_customer_reads_and_accepts_by_a_link_and_reaches_nothing_else(server, shop):
    number, made = shared(shop)
    page = f"{server.address}{made.path}"
    read = httpx.get(page)
    assert read.status_code == 200
    assert "A club" in read.text
    assert read.headers["referrer-policy"] == "no-referrer"
    form = {"answer": "accepted", "revision": "1", "sure": "yes"}
    for _ in range(2):
        assert httpx.post(page, data=form).status_code == 303
    assert shop.quotes.read(number).value.state == "accepted"
    assert [link.answer for link in shop.quotes.links(number)] == ["accepted"]
    assert f"order Q{number}" in httpx.get(page).text
    bearer = {"Authorization": f"Bearer {made.path.rpartition('/')[2]}"}
    assert httpx.get(f"{server.address}/v1/me", headers=bearer).status_code == 401


def test_a_withdrawn_link_opens_and_books_nothing(server, shop):
    number, made = shared(shop)
    shop.quotes.withdraw_link(number, made.link.id)
    page = f"{server.address}{made.path}"
    assert httpx.get(page).status_code == 404
    form = {"answer": "accepted", "revision": "1", "sure": "yes"}
    assert httpx.post(page, data=form).status_code == 404
    assert shop.quotes.read(number).value.state == "sent"
