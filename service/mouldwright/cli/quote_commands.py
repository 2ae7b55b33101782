"""Commands about a price: the quote, with all that is agreed beside part and quantity.

Imports of the work itself stand inside the commands, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import (
    AsJson,
    ByRate,
    Now,
    PartKey,
    Quantity,
    Scenario,
    SetProcessKey,
)


def add_quote_commands(app: typer.Typer) -> None:
    """Add them to the command line, in the order in which they are listed."""
    app.command()(quote)
    app.command()(hour)


def quote(
    scenario: Scenario,
    part: PartKey,
    quantity: Quantity,
    process: SetProcessKey = None,
    by: Annotated[
        str | None, typer.Option("--by", help="Date, or date and time, it is wanted.")
    ] = None,
    customer_class: Annotated[
        str, typer.Option("--class", help="Class of customer that the shop gives a discount to.")
    ] = "",
    discount: Annotated[
        str, typer.Option("--discount", help='Share of the goods taken off: 0.05 or "5 %".')
    ] = "",
    discount_amount: Annotated[
        str, typer.Option("--discount-amount", help="An amount taken off besides.")
    ] = "",
    delivery: Annotated[
        list[str] | None,
        typer.Option(
            "--delivery", help='One of several: "8", "8 by 2027-04-16" or "8 by 2027-04-16 rush".'
        ),
    ] = None,
    rush: Annotated[
        bool, typer.Option("--rush", help="Let it go before what is booked, at a surcharge.")
    ] = False,
    spares: Annotated[
        bool, typer.Option("--spares", help="Sell the pieces as spares, in whole packs.")
    ] = False,
    now: Now = None,
    by_rate: ByRate = False,
    pdf: Annotated[
        str | None, typer.Option("--pdf", help="Write it to this file too, for the customer.")
    ] = None,
    language: Annotated[
        str, typer.Option("--language", help="What the PDF is written in: en, de or fr.")
    ] = "en",
    paper: Annotated[
        str, typer.Option("--paper", help="What the PDF is set on: a4 or us-letter.")
    ] = "a4",
    odds: Annotated[
        bool, typer.Option("--odds", help="Say what it may cost, and what that hangs on.")
    ] = False,
    draws: Annotated[
        int,
        typer.Option("--draws", min=1, max=1_000_000, help="How often the cost is drawn for that."),
    ] = 10_000,
    as_json: AsJson = False,
) -> None:
    """Price a quantity of a part by a process, or of a set, with all that made the price."""
    from mouldwright.cli import quote as command

    command.quote(
        scenario,
        part,
        process,
        quantity,
        by=by,
        agreed={
            "customer_class": customer_class,
            "discount": discount,
            "discount_amount": discount_amount,
            "deliveries": delivery or [],
            "rush": rush,
            "spares": spares,
        },
        now=now,
        by_rate=by_rate,
        as_json=as_json,
        pdf=pdf,
        language=language,
        paper=paper,
        with_odds=odds,
        draws=draws,
    )


def hour(scenario: Scenario, as_json: AsJson = False) -> None:
    """Say what an hour of hands costs, step by step, and what it is sold at."""
    from mouldwright.cli import hour as command

    command.hour(scenario, as_json=as_json)
