"""Who changed what: an entry for every change, with it or not at all, and no secret in it."""

from __future__ import annotations

import csv
import io
import json

import pytest
from quoting import QUOTES, booked, made
from service_bench import OTHER, SHOP, if_match, once, problem_of
from sqlalchemy import update
from sqlmodel import col

from mouldwright.store.tables import METADATA, BookingRow, ShopVersionRow
from mouldwright.store.told import TOLD, UNTOLD
from mouldwright.usecases.access import promise_sign_in
from mouldwright.usecases.kept import Role

AUDIT = f"/v1/shops/{SHOP}/audit"


def entries(served, **query):
    answer = served.client().get(AUDIT, params=query)
    assert answer.status_code == 200, answer.text
    return answer.json()["entries"]


def told(entry):
    return {each["what"]: (each["before"], each["after"]) for each in entry["changes"]}


def test_an_order_changed_is_told_with_who_when_and_the_values_before_and_after(served):
    planner = served.client("planner")
    booked(planner)
    served.clock.on(minutes=5)
    order = planner.get(f"/v1/shops/{SHOP}/orders/Q1")
    answer = planner.patch(
        f"/v1/shops/{SHOP}/orders/Q1",
        json={"weight": 3},
        headers={"If-Match": order.headers["ETag"], "X-Request-Id": "by-the-test-1"},
    )
    assert answer.status_code == 200, answer.text
    (entry,) = entries(served, thing="order", limit=1)
    me = planner.get("/v1/me").json()
    assert (entry["verb"], entry["key"], entry["at"]) == ("changed", "Q1", "2027-03-01T08:05:00Z")
    assert (entry["by"], entry["role"], entry["token"]) == ("a test", "planner", me["id"])
    assert entry["request"] == answer.headers["X-Request-Id"] == "by-the-test-1"
    assert told(entry) == {"weight": (str(order.json()["weight"]), "3")}


def test_a_shop_written_anew_is_told_by_the_keys_that_differ(served):
    owner, at = served.client(), f"/v1/shops/{SHOP}"
    shop = owner.get(at)
    scenario = shop.json()["scenario"]
    (key, person), *_ = scenario["people"].items()
    wage = person["wage_per_hour"]
    person["wage_per_hour"] = "31.50"
    answer = owner.put(at, json={"scenario": scenario}, headers={"If-Match": shop.headers["ETag"]})
    assert answer.status_code == 200, answer.text
    (entry,) = entries(served, thing="shop", limit=1)
    assert (entry["verb"], entry["key"]) == ("changed", "version 2")
    assert told(entry) == {f"people.{key}.wage_per_hour": (str(wage), "31.50")}


def test_numbers_have_no_gap_and_pages_lead_from_the_newest_to_the_first(served):
    planner = served.client("planner")
    for _ in range(3):
        made(planner)
    served.client().post(f"/v1/shops/{SHOP}/tokens", json={"role": "bench", "label": "x"})
    found, cursor = [], None
    while True:
        query = {"limit": 2} | ({"cursor": cursor} if cursor else {})
        page = served.client().get(AUDIT, params=query).json()
        found += [entry["number"] for entry in page["entries"]]
        cursor = page["next"]
        if cursor is None:
            break
    assert found == list(range(len(found), 0, -1))
    problem_of(served.client().get(AUDIT, params={"cursor": "x"}), 422, "invalid")


def test_what_was_refused_or_asked_again_is_not_told(served):
    planner = served.client("planner")
    body = {"part": "stabiliser", "process": "pressed", "quantity": 2}
    key = once()
    for _ in range(3):
        assert planner.post(QUOTES, json=body, headers=key).status_code == 201
    problem_of(planner.post(QUOTES, json={**body, "quantity": 0}, headers=once()), 422, "invalid")
    late = planner.patch(f"/v1/shops/{SHOP}/orders/Q9", json={"weight": 2}, headers=if_match(1))
    problem_of(late, 404, "unknown")
    # The tokens are the test's own.
    told_of = [each for each in entries(served) if each["thing"] not in ("token", "shop")]
    assert [(each["thing"], each["key"]) for each in told_of] == [("quote", "1 revision 1")]


def test_tokens_links_and_sign_ins_are_told_without_a_secret(served):
    owner = served.client()
    issued = owner.post(
        f"/v1/shops/{SHOP}/tokens", json={"role": "bench", "label": "tablet"}, headers=once()
    ).json()
    owner.delete(f"/v1/shops/{SHOP}/tokens/{issued['token']['id']}")
    planner = served.client("planner")
    quote = made(planner).json()
    link = planner.post(f"{QUOTES}/{quote['number']}/links", json={}, headers=once()).json()
    code = promise_sign_in(
        served.services.units,
        shop=SHOP,
        role=Role.BENCH,
        minutes=5,
        now=served.clock(),
        chance=served.services.chance,
    )
    signed = served.client(None).post("/v1/sign-in", json={"code": code}).json()
    found = served.client().get(AUDIT, params={"limit": 200})
    for secret in (issued["secret"], link["path"].rsplit("/", 1)[1], code, signed["secret"]):
        assert secret not in found.text
    by_key = {(e["thing"], e["key"], e["verb"]): e for e in found.json()["entries"]}
    withdrawn = by_key["token", issued["token"]["id"], "changed"]
    assert told(withdrawn) == {"revoked_at": (None, "2027-03-01T08:00:00Z")}
    opened = by_key["token", signed["token"]["id"], "added"]
    assert (opened["by"], opened["role"]) == ("whoever opened a sign-in link", "")
    assert any(thing == "link to a quote" for thing, _, _ in by_key)


def test_what_a_keeper_does_to_no_one_shop_is_told_apart(served):
    keeper = served.client("keeper")
    rotated = keeper.post("/v1/me/rotate", headers=once()).json()["token"]["id"]
    again = served.client("keeper")
    house = again.get("/v1/audit", params={"thing": "token", "key": rotated}).json()["entries"]
    assert [(e["verb"], e["role"]) for e in house] == [("added", "keeper")]
    assert all(e["key"] != rotated for e in entries(served))


def test_a_shop_reads_its_own_alone(served):
    made(served.client("planner"))
    other = served.client("owner", OTHER)
    problem_of(other.get(AUDIT), 404, "unknown")
    theirs = other.get(f"/v1/shops/{OTHER}/audit").json()["entries"]
    assert "quote" not in {entry["thing"] for entry in theirs}


def test_it_goes_out_as_csv_with_nothing_a_spreadsheet_would_work_out(served):
    owner = served.client()
    owner.post(
        f"/v1/shops/{SHOP}/tokens",
        json={"role": "bench", "label": '=HYPERLINK("x")'},
        headers=once(),
    )
    answer = owner.get(f"{AUDIT}.csv")
    assert answer.headers["content-disposition"] == 'attachment; filename="audit.csv"'
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    label = next(row for row in rows if row["thing"] == "token" and "HYPER" in row["after"])
    assert label["after"] == '\'=HYPERLINK("x")'
    assert label["at"] == "2027-03-01T08:00+00:00"


def test_every_table_is_told_or_named_with_the_reason_it_is_not():
    known = {row.__tablename__ for row in (*TOLD, *UNTOLD)}
    assert known == set(METADATA.tables)
    assert not set(TOLD) & set(UNTOLD)
    for row, how in TOLD.items():
        assert not {"customer", "address", "secret_hash", "code_hash", "document"} & set(how.shown)
        assert set(how.shown) <= set(row.model_fields)


@pytest.mark.parametrize("row", [BookingRow, ShopVersionRow])
def test_a_statement_that_would_change_rows_unseen_is_refused(served, row):
    with (
        served.services.units.write(SHOP) as unit,
        pytest.raises(RuntimeError, match="untold"),
    ):
        unit.session.execute(update(row).where(col(row.shop) == SHOP).values(part="x"))


def test_a_change_that_is_not_kept_is_not_told(served):
    before = entries(served)
    with served.services.units.write(SHOP) as unit:
        unit.tokens.revoke(unit.tokens.listed()[0].id, served.clock())
    assert len(entries(served)) - len(before) == 1  # the token that the second look drew


def test_the_log_a_shop_comes_with_is_one_entry(served):
    owner = served.client("keeper")
    scenario = owner.get(f"/v1/shops/{SHOP}").json()["scenario"]
    scenario["log"] = [
        {"what": "person away", "at": f"2027-02-{day:02d}T09:00:00+00:00", "people": ["ines"],
         "until": f"2027-02-{day:02d}T10:00:00+00:00"}
        for day in range(1, 25)
    ]  # fmt: skip
    answer = owner.post("/v1/shops", json={"key": "logged", "scenario": scenario}, headers=once())
    assert answer.status_code == 201, json.dumps(answer.json())[:600]
    found = owner.get("/v1/shops/logged/audit").json()["entries"]
    assert [(e["verb"], e["thing"], e["key"]) for e in found] == [
        ("added", "log entry", "1 to 24"),
        ("added", "shop", "version 1"),
    ]
