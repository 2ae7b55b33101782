"""The hour command: what an hour of hands costs, step by step, and what it is sold at."""

from __future__ import annotations

from mouldwright.cli.opening import open_shop
from mouldwright.cli.show import console, heading, print_json, table
from mouldwright.domain.costing.hour_price import hour_prices
from mouldwright.wire.answers.hour import HourAnswer


def hour(scenario: str, *, as_json: bool) -> None:
    """Print the hour's price by person and by skill."""
    shop = open_shop(scenario)
    answer = HourAnswer.of(shop, hour_prices(shop))
    if as_json:
        print_json(answer)
        return
    out, money = console(), answer.currency
    heading(out, "The hour's price, by person")
    steps = ("wage", "on_costs", "unpaid", "worked", "overhead", "cost", "price")
    out.print(
        table(
            [
                (money, "left"),
                *((name.replace("on_costs", "on-costs"), "right") for name in steps),
            ],
            [(each.title, *(getattr(each, name) for name in steps)) for each in answer.people],
        )
    )
    share = f"{answer.unbillable_share * 100:g} %"
    out.print(
        f"Nobody pays for {share} of each day: (wage + on-costs) / (1 - {share}) is an hour worked."
    )
    heading(out, "By skill, the mean of those who have it: what orders are costed with")
    out.print(
        table(
            [
                ("skill", "left"),
                ("people", "left"),
                *((name, "right") for name in ("worked", "overhead", "cost", "price")),
            ],
            [
                (
                    each.skill or "anyone",
                    ", ".join(each.people),
                    each.worked,
                    each.overhead,
                    each.cost,
                    each.price,
                )
                for each in answer.skills
            ],
        )
    )
    tax = ", tax included" if answer.tax_included else ""
    out.print(f"Price by {answer.price_rule}{tax}.")
