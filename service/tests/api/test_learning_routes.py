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


def test_what_is_lost_of_a_mix_is_taken_into_the_material_and_waits_on_today_until_then(served):
    bench, planner = served.client("bench"), served.client("planner")
    # Three grams are written. By hand, 4 cups of it at 3 and six at 6: (12 + 36) / 10.
    for grams in (6, 6.5, 5.5, 6, 6, 6):
        cup = {"what": "weighed", "material": "fast-resin", "mass_g": grams}
        answer = bench.post(f"{HERE}/log", json=cup, headers=once())
        assert answer.status_code == 201, answer.text
    learnt = planner.get(f"{HERE}/learnt").json()
    (loss,), (change,) = learnt["losses"], learnt["changes"]
    assert (loss["cups"], loss["noted_g"], loss["usual_g"]) == (6, 6.0, 4.8)
    assert (change["key"], change["was"]["lost_g"]) == ("loss:fast-resin", "3")
    waits = [n for n in planner.get(f"{HERE}/today").json()["notices"] if n["kind"] == "learnt"]
    assert len(waits) == 1
    ask = {"key": change["key"], "evidence": 6, "version": learnt["version"]}
    assert planner.post(f"{HERE}/learnt/taken", json=ask, headers=once()).status_code == 201
    mix = planner.get(f"{HERE}/materials/fast-resin").json()["material"]["mix"]
    assert float(mix["lost_g"]) == 4.8


def test_a_change_that_was_left_waits_on_today_no_longer(taught):
    planner = taught.client("planner")

    def waiting():
        notices = planner.get(f"{HERE}/today").json()["notices"]
        return [each["text"] for each in notices if each["kind"] == "learnt"]

    (text,) = waiting()
    assert "demould" in text
    (change,) = planner.get(f"{HERE}/learnt").json()["changes"]
    planner.put(f"{HERE}/learnt/declined/{change['key']}")
    assert waiting() == []
