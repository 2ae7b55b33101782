"""Answer to "which process, for this quantity and this stiffness?"."""

from __future__ import annotations

from pydantic import BaseModel, Field

from mouldwright.domain.compare import Choice, Comparison
from mouldwright.domain.hours.opening import local
from mouldwright.domain.money import Currency
from mouldwright.domain.part.requirement import Requirement
from mouldwright.domain.shop import Shop
from mouldwright.domain.would_pass.find import WouldPass
from mouldwright.wire.answers.deflection import DeflectionAnswer
from mouldwright.wire.answers.money import amount_text
from mouldwright.wire.answers.quote import CostOddsAnswer
from mouldwright.wire.answers.switching import WhatChangesAnswer


class RequirementAnswer(BaseModel):
    """What the part must bear."""

    support: str
    load: str
    force_n: float | None
    speed_m_s: float | None
    lift_coefficient: float | None
    fluid_density_kg_m3: float | None
    deflection_mm: float
    factor: float
    mass_g: float | None
    angle_deg: float | None = Field(description="that the lift coefficient follows from")
    span_efficiency: float | None = Field(description="of the lifting line; with an angle")
    root_on_wall: bool | None = Field(description="whether the root is mirrored; with an angle")
    mount_n_mm_per_rad: float | None
    must_be_fit_to_sell: bool
    service_temperature_c: float | None
    torque_n_mm: float | None
    twist_deg: float | None
    root_stress_share: float | None

    @classmethod
    def of(cls, requirement: Requirement) -> RequirementAnswer:
        """Return the answer for a requirement."""
        from_angle = requirement.angle_deg is not None
        return cls(
            support=requirement.support,
            load=requirement.load,
            force_n=requirement.force_n,
            speed_m_s=requirement.speed_m_s,
            lift_coefficient=requirement.lift_coefficient,
            fluid_density_kg_m3=requirement.fluid_density_kg_m3,
            deflection_mm=requirement.deflection_mm,
            factor=requirement.factor,
            mass_g=requirement.mass_g,
            angle_deg=requirement.angle_deg,
            span_efficiency=requirement.span_efficiency if from_angle else None,
            root_on_wall=requirement.root_on_wall if from_angle else None,
            mount_n_mm_per_rad=requirement.mount_n_mm_per_rad,
            must_be_fit_to_sell=requirement.must_be_fit_to_sell,
            service_temperature_c=requirement.service_temperature_c,
            torque_n_mm=requirement.torque_n_mm,
            twist_deg=requirement.twist_deg,
            root_stress_share=requirement.root_stress_share,
        )


class WouldPassAnswer(BaseModel):
    """One change that makes a process pass, and what it does besides."""

    lever: str
    was: str
    becomes: str
    deflection_mm: float | None
    utilisation: float | None
    mass_g: float | None = Field(description="of the changed part")
    mass_change_g: float | None
    unit_cost: str | None = Field(description="with the change; null where a price is unknown")
    unit_cost_change: str | None = Field(description="above zero is dearer")
    lead_change_hours: float | None = Field(description="by the rate alone")
    new_moulds: bool = Field(description="the moulds at hand no longer fit")
    tests_lost: list[str] = Field(
        description="bench tests whose clamp or load would no longer lie on the part; take them "
        "out or measure anew"
    )

    @classmethod
    def of(cls, currency: Currency, found: WouldPass) -> WouldPassAnswer:
        """Return the answer for a change, its money in a currency."""
        change, judged, cost = found.change, found.judgement, found.cost
        return cls(
            lever=change.lever,
            was=change.was,
            becomes=change.becomes,
            deflection_mm=judged.deflection_mm,
            utilisation=judged.utilisation,
            mass_g=judged.mass_g,
            mass_change_g=found.mass_g,
            unit_cost=amount_text(currency, cost.per_good_part) if cost else None,
            unit_cost_change=amount_text(currency, found.cost_each),
            lead_change_hours=None if found.lead_min is None else round(found.lead_min / 60, 2),
            new_moulds=change.new_moulds,
            tests_lost=list(found.tests_lost),
        )


class ChoiceAnswer(BaseModel):
    """One process, judged and priced."""

    process: str
    title: str
    makeable: bool
    meets_requirement: bool | None
    deflection_mm: float | None
    utilisation: float | None
    mass_g: float | None
    starts: int | None
    moulds: int
    unit_cost: str | None = Field(description="null where a material has no price")
    price_each: str | None
    net: str | None
    lead_time_hours: float | None = Field(description="elapsed, from now to the last part ready")
    finish: str | None
    finish_odds: float | None = Field(
        default=None, description="chance of that finish; null for one by the rate alone"
    )
    cost_odds: CostOddsAnswer | None = Field(
        default=None, description="what the order may cost; null unless asked"
    )
    rate_per_day: float | None = Field(description="parts begun an open day")
    good_per_day: float | None = Field(default=None, description="good parts an open day")
    people_hours: float | None
    unknown: list[str] = Field(description="why the cost is unknown")
    would_pass: list[WouldPassAnswer] = Field(
        description="of a process that fails, the least change of each lever that makes it pass, "
        "cheapest first"
    )
    judgement: DeflectionAnswer


class CrossoverAnswer(BaseModel):
    """From this quantity on, that process is the cheapest of those that pass."""

    from_quantity: int
    process: str


class WinnerAnswer(BaseModel):
    """Who is best under one aim, of those that pass."""

    aim: str
    process: str


class SwitchingAnswer(BaseModel):
    """How far one input must move before the choice changes."""

    driver: str
    change: float = Field(description="as a share, above zero a rise")
    instead: str


class RecommendedAnswer(BaseModel):
    """The process to take and the reasons."""

    process: str | None
    why: str
    switching: list[SwitchingAnswer]


class ComparisonAnswer(BaseModel):
    """Every process for one part and quantity."""

    part: str
    quantity: int
    currency: str
    requirement: RequirementAnswer | None
    choices: list[ChoiceAnswer]
    crossovers: list[CrossoverAnswer]
    winners: list[WinnerAnswer]
    unbeaten: list[str] = Field(description="no other beats them on all counts")
    recommended: RecommendedAnswer
    unit_costs: dict[str, list[str | None]] = Field(
        description="cost of one good part by process, for the quantities 1, 2, 3, ..."
    )
    what_changes: WhatChangesAnswer | None = Field(
        default=None, description="what would change the answer; null unless asked"
    )

    @classmethod
    def of(cls, shop: Shop, comparison: Comparison) -> ComparisonAnswer:
        """Return the answer for a comparison made in a shop."""
        requirement = shop.part(comparison.part).requirement
        recommended = comparison.recommended
        return cls(
            part=comparison.part,
            quantity=comparison.quantity,
            currency=shop.currency.code,
            requirement=None if requirement is None else RequirementAnswer.of(requirement),
            choices=[_choice(shop, choice) for choice in comparison.choices],
            crossovers=[
                CrossoverAnswer(from_quantity=c.from_quantity, process=c.process)
                for c in comparison.crossovers
            ],
            winners=[WinnerAnswer(aim=w.aim, process=w.process) for w in comparison.winners],
            unbeaten=list(comparison.unbeaten),
            recommended=RecommendedAnswer(
                process=recommended.process,
                why=recommended.why,
                switching=[
                    SwitchingAnswer(driver=s.driver, change=float(s.change), instead=s.instead)
                    for s in recommended.switching
                ],
            ),
            unit_costs={
                process: [amount_text(shop.currency, cost) for cost in costs]
                for process, costs in comparison.unit_costs.items()
            },
        )


def _choice(shop: Shop, choice: Choice) -> ChoiceAnswer:
    cost, price, judged = choice.cost, choice.price, choice.judgement
    return ChoiceAnswer(
        process=choice.process,
        title=choice.title,
        makeable=judged.makeable,
        meets_requirement=judged.meets_requirement,
        deflection_mm=judged.deflection_mm,
        utilisation=judged.utilisation,
        mass_g=judged.mass_g,
        starts=cost.starts if cost else None,
        moulds=choice.moulds,
        unit_cost=amount_text(shop.currency, cost.per_good_part) if cost else None,
        price_each=amount_text(shop.currency, price.price_each) if price else None,
        net=amount_text(shop.currency, price.net) if price else None,
        lead_time_hours=None
        if choice.lead_time_min is None
        else round(choice.lead_time_min / 60, 2),
        finish=None if choice.finish is None else local(choice.finish, shop.zone).isoformat(),
        finish_odds=None
        if choice.ready is None or choice.ready.chance is None
        else round(choice.ready.chance, 4),
        cost_odds=None if choice.cost_odds is None else CostOddsAnswer.of(shop, choice.cost_odds),
        rate_per_day=choice.rate.per_day_sustained if choice.rate else None,
        good_per_day=choice.rate.good_per_day_sustained if choice.rate else None,
        people_hours=float(cost.people_hours) if cost else None,
        unknown=list(cost.unknown) if cost else [],
        would_pass=[WouldPassAnswer.of(shop.currency, each) for each in choice.would_pass],
        judgement=DeflectionAnswer.of(judged),
    )
