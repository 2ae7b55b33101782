"""After a customer is erased, no table, plan, calendar, kept reply or audit has the name."""

from __future__ import annotations

from json import dumps

import pytest
from quoting import ORDERS, QUOTES, RUNS, booked, made, sent
from service_bench import SHOP, closing, once, service_bench_at
from sqlalchemy import select
from working import worked

from mouldwright.store.engine import make_engine
from mouldwright.store.fence import of_every_shop
from mouldwright.store.tables import METADATA

AT = f"/v1/shops/{SHOP}"
# Quotes, a backslash, letters beyond ASCII and beyond the first plane: each is written otherwise
# in JSON than it is said.
NAME = 'Würfel & Söhne "Süd\\Ost" 𝛑'
STREET = "Hafengasse 12"


def places_with(url: str, *words: str) -> dict[str, int]:
    """Return in how many rows of which column any of the words stands, however it is written."""
    written = set(words)
    # Within a document, and within a document that is kept in another.
    for _ in range(2):
        written |= {dumps(each, ensure_ascii=plain)[1:-1] for each in written for plain in (0, 1)}
    found: dict[str, int] = {}
    engine = of_every_shop(make_engine(url, pooled=False))
    with engine.connect() as connection:
        for table in METADATA.sorted_tables:
            for row in connection.execute(select(table)).mappings():
                for column, value in row.items():
                    if isinstance(value, str) and any(word in value for word in written):
                        place = f"{table.name}.{column}"
                        found[place] = found.get(place, 0) + 1
    engine.dispose()
    return found


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_no_trace_of_an_erased_customer_is_left_in_any_table(kind, empty_url):
    url = empty_url(kind)
    with closing(service_bench_at(url)) as bench:
        planner, owner = bench.client("planner"), bench.client("owner")
        # Who ordered by the shop's own file, who was quoted, who ordered, who was revised.
        shop = owner.get(AT)
        scenario = shop.json()["scenario"]
        scenario["orders"][0]["customer"] = NAME
        put = owner.put(AT, json={"scenario": scenario}, headers={"If-Match": shop.headers["ETag"]})
        assert put.status_code == 200, put.text
        made(planner, customer=NAME, address=[NAME, STREET])
        draft = sent(planner, customer=NAME, address=[NAME, STREET])
        number = draft.json()["number"]
        planner.post(
            f"{QUOTES}/{number}/revise",
            json={"quantity": 5},
            headers={"If-Match": draft.headers["ETag"]} | once(),
        )
        order = booked(planner, customer=NAME, address=[NAME, STREET])["number"]
        # Another's quote is made on top of what is booked, and keeps that as its basis.
        made(planner, customer="Tern survey club")
        planner.post(f"{AT}/try", json={"part": "stabiliser", "quantity": 2, "customer": NAME})
        planner.post(RUNS, json={"seconds": 0.1}, headers=once())
        while worked(bench) is not None:
            pass
        feed = planner.post(f"{AT}/feeds", json={}, headers=once()).json()["path"]
        assert bench.client(None).get(feed).status_code == 200
        before = places_with(url, NAME, STREET)
        assert before.keys() >= {"booking.customer", "kept_reply.body", "shop_version.document"}
        net = planner.get(f"{ORDERS}/{order}").json()
        assert owner.post(f"{AT}/customers/erase", json={"customer": NAME}).status_code == 200
        assert places_with(url, NAME, STREET) == {}
        assert planner.get(f"{ORDERS}/{order}").json() == net | {"customer": ""}
        (told,) = owner.get(f"{AT}/audit", params={"thing": "customer"}).json()["entries"]
        assert (told["verb"], told["role"], told["key"]) == ("erased", "owner", "")
