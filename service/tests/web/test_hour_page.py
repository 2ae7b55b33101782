"""The sheet of the hour's price, and what a quote says was not charged."""

from __future__ import annotations

from promise_bench import KEY
from web_bench import plain


def test_the_hour_is_built_up_for_everyone_who_works(web):
    words = plain(web.visitor().page(f"/shops/{KEY}/hour"))
    # Inês of the demo: 15.00 and 24 % on top, 15 % of the day unpaid, 7.50 of overhead:
    # 18.60 / 0.85 = 21.88, 29.38 with overhead, 47.39 at a margin of 38 %.
    assert "Inês: (15.00 + 3.60) / (1 − 15 %) + 7.50 = 29.38" in words
    assert "47.39" in words
    assert "no skill asked Inês, Tomás" in words


def test_a_shop_where_nobody_works_says_what_to_write_first(web):
    everything = ("people", "processes", "parts", "moulds", "sets", "stations", "bench_tests")
    web.bench.change_shop(orders=(), **{each: {} for each in everything})
    words = plain(web.visitor().page(f"/shops/{KEY}/hour"))
    assert "Nobody works here yet." in words
    assert "Write someone" in words


def test_a_quote_lists_every_group_of_cost_with_its_zeros(web):
    web.bench.quoted()
    words = plain(web.visitor().page(f"/shops/{KEY}/quotes/1"))
    assert "Is nothing forgotten?" in words
    for group in ("Freight 0.00 not charged", "Returns and repairs 0.00 not charged"):
        assert group in words
    # Where each is written is said by the sheets and fields of the pages, not by keys of the file.
    paid = "What being paid costs 0.00 not charged Prices and policies, what being paid costs"
    assert paid in words
    for key in ("people.*", "processes.*", "moulds.*", "shop.price"):
        assert key not in words
