"""The odds of a plan go out and come back as they were."""

from __future__ import annotations

from mouldwright.domain.promise.finish_odds import LimitPassed, OrderOdds, PlanOdds
from mouldwright.planning.plan import Objective, OrderOutcome, Plan
from mouldwright.wire.kept_plan import KeptPlanDocument

NOW = 30_000_000


def test_a_kept_plan_keeps_its_odds() -> None:
    odds = PlanOdds(
        runs=1000,
        seed=1,
        level=0.8,
        limits_passed=(LimitPassed(process="pressed", operation="close", share=0.042),),
        orders=(
            OrderOdds(
                number="7", planned=NOW + 600, due=NOW + 900, promised=NOW + 660,
                promised_chance=0.801, p50=NOW + 610, p80=NOW + 660, p95=None, chance=0.93,
            ),
        ),
    )  # fmt: skip
    plan = Plan(
        now=NOW,
        zone="Europe/Lisbon",
        tasks=(),
        orders=(OrderOutcome(number="7", finish=NOW + 600, due=NOW + 900, starts=3),),
        objective=Objective(weighted_late_min=0, finish_min=600, attended_min=40),
        odds=odds,
    )
    document = KeptPlanDocument.of(plan).model_dump_json()
    assert KeptPlanDocument.model_validate_json(document).plan() == plan


def test_a_plan_kept_before_there_were_odds_reads_without() -> None:
    plan = Plan(
        now=NOW, zone="UTC", tasks=(), orders=(),
        objective=Objective(weighted_late_min=0, finish_min=0, attended_min=0),
    )  # fmt: skip
    document = KeptPlanDocument.of(plan).model_dump(exclude={"odds"})
    assert KeptPlanDocument.model_validate(document).plan() == plan
