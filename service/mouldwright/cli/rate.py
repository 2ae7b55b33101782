"""The rate command."""

from __future__ import annotations

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, figure, heading, print_json, table
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.part.mass import charge
from mouldwright.domain.rate import rate as rate_of
from mouldwright.usecases.present import present
from mouldwright.wire.answers.rate import RateAnswer


def rate(
    scenario: str, part: str, process: str, moulds: int | None, *, now: str | None, as_json: bool
) -> None:
    """Print the rate of one part by one process."""
    if moulds is not None and moulds < 1:
        raise InvalidInput(
            [
                Fault(
                    path="--moulds",
                    value=str(moulds),
                    problem="no mould makes no part.",
                    remedy="Give a whole number from 1.",
                )
            ]
        )
    shop = open_shop(scenario)
    made, by = shop.part(part), shop.process(process)
    minute = present(shop, now, clock)
    found = rate_of(shop, made, by, moulds=moulds, charge=charge(shop, made, by), now=minute)
    answer = RateAnswer.of(part, process, found)
    if as_json:
        print_json(answer)
        return
    out = console()
    heading(out, f"{shop.part(part).title}, {shop.process(process).title.lower()}")
    rows = [
        (
            "An hour at the bench",
            figure(answer.per_hour_at_bench, 2),
            figure(answer.good_per_hour_at_bench, 2),
        ),
        (
            "A day, sustained",
            figure(answer.per_day_sustained, 2),
            figure(answer.good_per_day_sustained, 2),
        ),
    ]
    out.print(table([("", "left"), ("parts begun", "right"), ("good parts", "right")], rows))
    out.print(f"What binds day after day: {answer.binds or 'nothing'}.")
    out.print(f"What binds within an hour: {answer.binds_at_bench or 'nothing'}.")
    if answer.mean_c is not None:
        out.print(f"Cures last as in a mean day of the season, at {answer.mean_c:g} °C.")
    if answer.moulds_that_help is not None:
        out.print(f"More than {answer.moulds_that_help} moulds would not raise it.")
    heading(out, "What each alone would allow")
    out.print(
        table(
            [("", "left"), ("an hour", "right"), ("a day", "right")],
            [(r.name, figure(r.per_hour, 2), figure(r.per_day, 2)) for r in answer.limits],
        )
    )
