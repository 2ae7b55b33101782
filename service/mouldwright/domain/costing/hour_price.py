"""The hour's price, built up step by step: wage, on-costs, the unpaid part of the day, overhead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.labour import hour_cost_of
from mouldwright.domain.costing.price import stated_price
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Person, Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class HourBuilt:
    """What one hour of someone's hands costs; each step adds to the one before. Exact money.

    Attributes:
        wage: What the hour is paid.
        on_costs: What the shop pays besides.
        unpaid: What the part of the day that no order pays for adds.
        worked: wage + on_costs + unpaid: an hour of hands in every cost.
        overhead: On every attended hour.
        cost: worked + overhead.
        price: What that becomes by the shop's margin or mark-up, as prices are stated.
    """

    key: str
    title: str
    skills: tuple[str, ...]
    wage: Fraction
    on_costs: Fraction
    unpaid: Fraction
    worked: Fraction
    overhead: Fraction
    cost: Fraction
    price: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class SkillHour:
    """The mean hour of those who have a skill, which is what an order is costed with.

    Attributes:
        skill: None for everyone, where an operation asks for no skill.
        people: Their keys.
    """

    skill: str | None
    people: tuple[str, ...]
    worked: Fraction
    overhead: Fraction
    cost: Fraction
    price: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class HourPrices:
    """The hour's price of a whole shop.

    Attributes:
        unbillable_share: Share of each paid day that no order pays for.
    """

    unbillable_share: Fraction
    people: tuple[HourBuilt, ...]
    skills: tuple[SkillHour, ...]


def hour_prices(shop: Shop) -> HourPrices:
    """Return the hour's price by person and, as a mean, by skill.

    wage x (1 + on-costs) / (1 - unbillable share) + overhead: an hour at 20 with 30 % on
    top, of a day whose quarter nobody pays for, and 6 of overhead costs 26 / 0.75 + 6 =
    40.67.

    Raises:
        InvalidInput: if nobody works in the shop, or no price can be made of a cost.
    """
    if not shop.people:
        raise InvalidInput(
            [
                Fault(
                    path="people",
                    value="",
                    problem="nobody works in the shop, so there is no hour to price.",
                    remedy='Write someone: [people.ada] with wage_per_hour = "15.00".',
                )
            ]
        )
    people = tuple(_built(shop, person) for person in shop.people.values())
    named = sorted({skill for each in people for skill in each.skills})
    skills = [_mean(shop, None, people)]
    skills += [_mean(shop, s, [each for each in people if s in each.skills]) for s in named]
    return HourPrices(
        unbillable_share=exact(shop.unbillable_share), people=people, skills=tuple(skills)
    )


def _built(shop: Shop, person: Person) -> HourBuilt:
    wage = exact(person.wage_per_hour)
    on_costs = wage * exact(person.on_cost_rate)
    worked = hour_cost_of(person, shop)
    overhead = exact(shop.overhead_per_hour)
    return HourBuilt(
        key=person.key,
        title=person.title,
        skills=tuple(sorted(person.skills)),
        wage=wage,
        on_costs=on_costs,
        unpaid=worked - wage - on_costs,
        worked=worked,
        overhead=overhead,
        cost=worked + overhead,
        price=stated_price(shop.price, worked + overhead),
    )


def _mean(shop: Shop, skill: str | None, able: Sequence[HourBuilt]) -> SkillHour:
    worked = sum((each.worked for each in able), Fraction(0)) / len(able)
    overhead = exact(shop.overhead_per_hour)
    return SkillHour(
        skill=skill,
        people=tuple(each.key for each in able),
        worked=worked,
        overhead=overhead,
        cost=worked + overhead,
        price=stated_price(shop.price, worked + overhead),
    )
