"""What the log teaches over HTTP: read beside the standard, taken into the shop when asked."""

from __future__ import annotations

from dataclasses import replace

import pytest
from learnt_log import slow_demoulds, timed_demoulds
from service_bench import SHOP, once, problem_of

HERE = f"/v1/shops/{SHOP}"
# As the demo writes it for taking a pull out.
STANDARD_MIN = 6


@pytest.fixture
def taught(served):
    """The demo shop with twelve pulls in its log that took twice the minutes written."""
    with served.services.units.write(SHOP) as unit:
        unit.log.bring(slow_demoulds(STANDARD_MIN))
        unit.commit()
    served.clock.on(hours=24 * 20)
    return served


def demould_min(client):
    process = client.get(f"{HERE}/processes/pressed").json()["process"]
    return next(o for o in process["operations"] if o["name"] == "demould")["attended_min"]


def test_a_standard_is_set_beside_what_was_noted_and_changes_only_when_it_is_taken(taught):
    planner = taught.client("planner")
    learnt = planner.get(f"{HERE}/learnt").json()
    (change,) = learnt["changes"]
    assert (change["key"], change["evidence"]) == ("time:pressed:demould", 12)
    (time,) = [t for t in learnt["times"] if t["operation"] == "demould"]
    assert time["all"]["noted_min"] == pytest.approx(2 * time["standard_min"])
    assert list(time["by_person"]) == ["tomas"]
    assert float(demould_min(planner)) == float(change["was"]["attended_min"])

    ask = {"key": change["key"], "evidence": 12, "version": learnt["version"]}
    key = once()
    taken = planner.post(f"{HERE}/learnt/taken", json=ask, headers=key)
    assert taken.status_code == 201
    assert taken.json()["version"] == learnt["version"] + 1
    assert float(demould_min(planner)) == float(change["proposed"]["attended_min"])
    # Sent again it is done once.
    again = planner.post(f"{HERE}/learnt/taken", json=ask, headers=key)
    assert again.json() == taken.json()


def test_what_rests_on_other_evidence_or_is_not_proposed_is_refused(taught):
    planner = taught.client("planner")
    learnt = planner.get(f"{HERE}/learnt").json()
    ask = {"key": learnt["changes"][0]["key"], "evidence": 11, "version": learnt["version"]}
    problem_of(planner.post(f"{HERE}/learnt/taken", json=ask, headers=once()), 412, "stale")
    ask = {**ask, "key": "time:pressed:none"}
    problem_of(planner.post(f"{HERE}/learnt/taken", json=ask, headers=once()), 404, "unknown")


def test_a_shop_without_a_log_has_learnt_nothing(served):
    learnt = served.client("viewer").get(f"{HERE}/learnt").json()
    assert (learnt["changes"], learnt["times"], learnt["yields"]) == ([], [], [])


def test_what_is_declined_is_not_proposed_until_the_evidence_has_doubled(taught):
    planner = taught.client("planner")
    key = "time:pressed:demould"
    assert planner.put(f"{HERE}/learnt/declined/{key}").json()["evidence"] == 12
    assert planner.put(f"{HERE}/learnt/declined/{key}").status_code == 200
    learnt = planner.get(f"{HERE}/learnt").json()
    assert (learnt["changes"], [each["key"] for each in learnt["declined"]]) == ([], [key])
    with taught.services.units.write(SHOP) as unit:
        unit.log.bring(
            tuple(
                replace(entry, number=number)
                for number, entry in enumerate(
                    timed_demoulds([2 * STANDARD_MIN] * 12, first=21), start=25
                )
            )
        )
        unit.commit()
    learnt = planner.get(f"{HERE}/learnt").json()
    assert [(each["key"], each["evidence"]) for each in learnt["changes"]] == [(key, 24)]
    assert learnt["declined"] == []


def test_what_was_declined_is_proposed_again_when_asked(taught):
    planner = taught.client("planner")
    key = "time:pressed:demould"
    problem_of(planner.delete(f"{HERE}/learnt/declined/{key}"), 404, "unknown")
    problem_of(planner.put(f"{HERE}/learnt/declined/none"), 404, "unknown")
    planner.put(f"{HERE}/learnt/declined/{key}")
    assert planner.delete(f"{HERE}/learnt/declined/{key}").status_code == 204
    assert [c["key"] for c in planner.get(f"{HERE}/learnt").json()["changes"]] == [key]
