"""Answer to "what does an hour cost, and what is it sold at?"."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.costing.hour_price import HourBuilt, HourPrices, SkillHour
from mouldwright.domain.shop import Shop
from mouldwright.wire.answers.money import fine_text


class PersonHourAnswer(BaseModel):
    """One person's hour; wage + on_costs + unpaid = worked, worked + overhead = cost."""

    key: str
    title: str
    skills: list[str]
    wage: str = Field(description="what the hour is paid")
    on_costs: str = Field(description="what the shop pays besides")
    unpaid: str = Field(description="what the part of the day that no order pays for adds")
    worked: str = Field(description="an hour of hands, as every cost counts it")
    overhead: str = Field(description="on every attended hour")
    cost: str
    price: str = Field(description="by the shop's margin or mark-up")

    @classmethod
    def of(cls, hour: HourBuilt) -> PersonHourAnswer:
        """Return the answer for one person."""
        return cls(
            key=hour.key,
            title=hour.title,
            skills=list(hour.skills),
            wage=fine_text(hour.wage),
            on_costs=fine_text(hour.on_costs),
            unpaid=fine_text(hour.unpaid),
            worked=fine_text(hour.worked),
            overhead=fine_text(hour.overhead),
            cost=fine_text(hour.cost),
            price=fine_text(hour.price),
        )


class SkillHourAnswer(BaseModel):
    """The mean hour of those who have a skill; an order is costed with it."""

    skill: str | None = Field(description="null for everyone, where no skill is asked")
    people: list[str]
    worked: str
    overhead: str
    cost: str
    price: str

    @classmethod
    def of(cls, hour: SkillHour) -> SkillHourAnswer:
        """Return the answer for one skill."""
        return cls(
            skill=hour.skill,
            people=list(hour.people),
            worked=fine_text(hour.worked),
            overhead=fine_text(hour.overhead),
            cost=fine_text(hour.cost),
            price=fine_text(hour.price),
        )


class HourAnswer(BaseModel):
    """The hour's price, built up; money to four decimals, so that every step can be redone."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "currency": "EUR",
                    "unbillable_share": 0.25,
                    "price_rule": "margin 0.38",
                    "tax_included": False,
                    "people": [
                        {
                            "key": "ada",
                            "title": "Ada",
                            "skills": ["wet"],
                            "wage": "20.0000",
                            "on_costs": "6.0000",
                            "unpaid": "8.6667",
                            "worked": "34.6667",
                            "overhead": "6.0000",
                            "cost": "40.6667",
                            "price": "65.5914",
                        }
                    ],
                    "skills": [
                        {
                            "skill": None,
                            "people": ["ada"],
                            "worked": "34.6667",
                            "overhead": "6.0000",
                            "cost": "40.6667",
                            "price": "65.5914",
                        }
                    ],
                }
            ]
        }
    )

    currency: str
    unbillable_share: float = Field(description="share of each paid day that no order pays for")
    price_rule: str
    tax_included: bool = Field(description="whether prices are stated with their tax")
    people: list[PersonHourAnswer]
    skills: list[SkillHourAnswer] = Field(description="everyone first, then by skill")

    @classmethod
    def of(cls, shop: Shop, hours: HourPrices) -> HourAnswer:
        """Return the answer for a shop."""
        return cls(
            currency=shop.currency.code,
            unbillable_share=float(hours.unbillable_share),
            price_rule=f"{shop.price.rule} {shop.price.rate:f}",
            tax_included=shop.price.tax_included,
            people=[PersonHourAnswer.of(each) for each in hours.people],
            skills=[SkillHourAnswer.of(each) for each in hours.skills],
        )
