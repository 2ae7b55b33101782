"""The hour's price in the reader's words."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.costing.hour_price import HourPrices
from mouldwright.domain.shop import Shop
from mouldwright.web.words import amount, percent


@dataclass(frozen=True, slots=True, kw_only=True)
class HourView:
    """What the sheet shows.

    Attributes:
        people: Title, key, and the steps as amounts.
        steps: What each step is called, in order.
        skills: Skill, who has it, and its amounts: worked, overhead, cost, price.
        worked_through: The first person's hour as a sum in one line.
    """

    currency: str
    unbillable: str
    rule: str
    steps: tuple[str, ...]
    people: tuple[tuple[str, str, tuple[str, ...]], ...]
    skills: tuple[tuple[str, str, tuple[str, ...]], ...]
    worked_through: str


def hour_view(shop: Shop, hours: HourPrices) -> HourView:
    """Return the sheet of a shop where somebody works."""
    money = shop.currency
    first = hours.people[0]
    titles = {person.key: person.title for person in hours.people}
    share = percent(shop.unbillable_share)
    tax = ", tax included" if shop.price.tax_included else ""
    return HourView(
        currency=money.code,
        unbillable=share,
        rule=f"{shop.price.rule} of {percent(shop.price.rate)}{tax}",
        steps=("Wage", "On-costs", "Unpaid time", "Worked", "Overhead", "Cost", "Price"),
        people=tuple(
            (
                each.title,
                each.key,
                tuple(
                    amount(money, step)
                    for step in (
                        *(each.wage, each.on_costs, each.unpaid, each.worked),
                        *(each.overhead, each.cost, each.price),
                    )
                ),
            )
            for each in hours.people
        ),
        skills=tuple(
            (
                each.skill or "no skill asked",
                ", ".join(titles[key] for key in each.people),
                tuple(
                    amount(money, step)
                    for step in (each.worked, each.overhead, each.cost, each.price)
                ),
            )
            for each in hours.skills
        ),
        worked_through=(
            f"{first.title}: ({amount(money, first.wage)} + {amount(money, first.on_costs)}) / "
            f"(1 − {share}) + {amount(money, first.overhead)} = {amount(money, first.cost)}"
        ),
    )
