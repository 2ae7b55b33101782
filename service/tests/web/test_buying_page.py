"""Buying: the packs, the proof, the other ways, and what cannot be asked."""

from __future__ import annotations

from promise_bench import KEY
from web_bench import plain

from mouldwright.usecases.kept import Role

BUYING = f"/shops/{KEY}/buying"


def test_it_buys_for_the_open_orders(web) -> None:
    page = plain(web.visitor(Role.VIEWER).page(BUYING))
    assert "6 open orders" in page
    assert "From Estuary" in page
    assert "Proven: no purchase of these is cheaper." in page
    assert "The next best" in page


def test_it_buys_for_one_order_more(web) -> None:
    page = plain(web.visitor(Role.VIEWER).page(f"{BUYING}?part=stabiliser/pressed&quantity=24"))
    assert "24 × Stabiliser foil, 260 mm, after the open orders" in page


def test_what_cannot_be_asked_is_said_where_it_is_asked(web) -> None:
    visitor = web.visitor(Role.VIEWER)
    for query, said in (
        ("part=stabiliser/cast&quantity=two", "no whole number"),
        ("by=2020-01-01", "over"),
    ):
        answer = visitor.get(f"{BUYING}?{query}")
        assert answer.status_code == 422
        assert said in plain(answer.text)


def test_a_shop_without_orders_has_nothing_to_buy(web, bench) -> None:
    bench.change_shop(orders=())
    assert "Nothing to buy." in plain(web.visitor().page(BUYING))
