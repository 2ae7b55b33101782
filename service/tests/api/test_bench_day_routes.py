"""Tomorrow, handing over and the stage of an order over HTTP, and a customer's way to it."""

from __future__ import annotations

import re

from quoting import QUOTES, made
from service_bench import SHOP, once, problem_of
from working import worked

HERE = f"/v1/shops/{SHOP}"


def planned(served):
    answer = served.client("planner").post(f"{HERE}/runs", json={"seconds": 0.1}, headers=once())
    assert answer.status_code == 202
    assert worked(served).state == "done"


def test_tomorrow_needs_a_plan_and_then_has_every_mix_by_weight(served):
    viewer = served.client("viewer")
    problem_of(viewer.get(f"{HERE}/tomorrow"), 404, "unknown")
    planned(served)
    found = viewer.get(f"{HERE}/tomorrow").json()
    assert found["day"] == "2027-03-02"
    mixes = [task["mix"] for part in found["parts"] for task in part["tasks"] if task["mix"]]
    assert mixes
    for mix in mixes:
        assert round(sum(each["grams"] for each in mix["components"]), 6) == mix["total_g"]
    assert viewer.get(f"{HERE}/tomorrow?day=2027-03-07").json()["parts"] == []
    problem_of(viewer.get(f"{HERE}/tomorrow?day=someday"), 422, "invalid")


def test_handing_over_is_told_with_and_without_a_plan(served):
    viewer = served.client("viewer")
    bare = viewer.get(f"{HERE}/handover").json()
    assert (bare["has_plan"], bare["curing"]) == (False, [])
    planned(served)
    served.clock.on(hours=9.5)
    found = viewer.get(f"{HERE}/handover").json()
    assert found["has_plan"]
    assert found["curing"]
    assert {each["person"] for each in found["coming"]} == {"ines", "tomas"}


def test_the_stage_of_a_written_order_is_read_and_of_none_is_unknown(served):
    planned(served)
    viewer = served.client("viewer")
    assert viewer.get(f"{HERE}/orders/1001/stage").json()["stage"] != "called off"
    problem_of(viewer.get(f"{HERE}/orders/no-such/stage"), 404, "unknown")


def test_a_customers_link_leads_to_the_stage_and_the_next_date_and_nothing_else(served):
    planner = served.client("planner")
    made(planner)
    link = planner.post(f"{QUOTES}/1/links", headers=once()).json()["path"]
    anyone = served.client(None)
    anyone.follow_redirects = False
    assert anyone.get(f"{link}/stage").status_code == 303
    sent = planner.get(f"{QUOTES}/1")
    move = {"If-Match": sent.headers["etag"]}
    sent = planner.post(f"{QUOTES}/1/send", json={"revision": 1}, headers=move)
    move = {"If-Match": sent.headers["etag"], **once()}
    accepted = planner.post(f"{QUOTES}/1/accept", json={"revision": 1}, headers=move)
    assert accepted.status_code == 200, accepted.text
    planned(served)
    page = anyone.get(f"{link}/stage")
    assert page.status_code == 200
    assert page.headers["cache-control"] == "no-store"
    main = re.sub(r"<[^>]+>", " ", page.text.split("<main")[1].split("</main>")[0])
    said = re.sub(r"\s+", " ", main.partition(">")[2]).strip()
    assert re.fullmatch(
        r"Your order (It is booked, and its work has not begun|It is being made)\. "
        r"(Its work begins|It is ready) [A-Z]\w+ \d+ \w+ 2027\."
        r"( (It will be ready|That is) later than we promised; "
        r"we are sorry, and will tell you why\.)?"
        r" As of [A-Z]\w\w \d+ \w+, \d\d:\d\d\.",
        said,
    ), said
    # The way to it stands on the offer itself.
    assert f'href="{link}/stage"' in anyone.get(link).text
    assert anyone.get("/q/no-such/stage").status_code == 404
