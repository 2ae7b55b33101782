"""Commands that hand something out as a file: a calendar, a table, a sheet of paper.

Imports of the work itself stand inside the commands, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import AsJson, ByRate, Now, Scenario, Seconds

Out = Annotated[str | None, typer.Option("--out", help="Write it to this file.")]
Seed = Annotated[int, typer.Option("--seed", help="Same seed, same search.")]


def add_file_commands(app: typer.Typer) -> None:
    """Add them to the command line, in the order in which they are listed."""
    app.command()(feed)
    app.command()(table)
    app.command()(paper)
    app.command()(mark)


def feed(
    scenario: Scenario,
    person: Annotated[str | None, typer.Option("--person", help="Key of one person.")] = None,
    mould: Annotated[
        str | None, typer.Option("--mould", help='Name of one mould, as "stabiliser-pressed 3".')
    ] = None,
    station: Annotated[
        str | None, typer.Option("--station", help="Key of a station, or name of one unit of it.")
    ] = None,
    out: Out = None,
    now: Now = None,
    seconds: Seconds = 2.0,
    seed: Seed = 1,
    as_json: AsJson = False,
) -> None:
    """Write the plan as a calendar (iCalendar): of one person, mould or station, or of the shop."""
    from mouldwright.cli import feed as command

    command.feed(
        scenario,
        person=person,
        mould=mould,
        station=station,
        out=out,
        now=now,
        seconds=seconds,
        seed=seed,
        as_json=as_json,
    )


def table(
    scenario: Scenario,
    name: Annotated[
        str, typer.Argument(help="Of the table: orders, plan, stock; any other names them all.")
    ],
    out: Annotated[
        str | None, typer.Option("--out", help="Write it to this file, .csv or .xlsx.")
    ] = None,
    day: Annotated[str | None, typer.Option("--day", help="Day of the day sheet.")] = None,
    person: Annotated[
        str | None, typer.Option("--person", help="Key of the person, of the day sheet.")
    ] = None,
    part: Annotated[
        str | None, typer.Option("--part", help="Key of the part, of the comparison.")
    ] = None,
    quantity: Annotated[
        int, typer.Option("--quantity", min=1, help="Good parts wanted, of the comparison.")
    ] = 1,
    order: Annotated[
        str | None, typer.Option("--order", help="Of the parts traced and of the log.")
    ] = None,
    mould: Annotated[
        str | None, typer.Option("--mould", help="Of the parts traced and of the log.")
    ] = None,
    now: Now = None,
    seconds: Seconds = 2.0,
    seed: Seed = 1,
    by_rate: ByRate = False,
    as_json: AsJson = False,
) -> None:
    """Write a table as CSV or XLSX: orders, the plan, a day, stock, moulds, the log and others."""
    from mouldwright.cli import tables as command

    command.table(
        scenario,
        name,
        out=out,
        day=day,
        person=person,
        part=part,
        quantity=quantity,
        order=order,
        mould=mould,
        now=now,
        seconds=seconds,
        seed=seed,
        by_rate=by_rate,
        as_json=as_json,
    )


def paper(
    scenario: Scenario,
    kind: Annotated[str, typer.Argument(help="day-sheet, mould-labels or buy-list.")],
    out: Annotated[str, typer.Option("--out", help="Write it to this PDF file.")],
    day: Annotated[str | None, typer.Option("--day", help="Of day sheets; else today.")] = None,
    person: Annotated[
        str | None, typer.Option("--person", help="Key of the person, of day sheets.")
    ] = None,
    family: Annotated[
        str | None, typer.Option("--family", help="Key of a family of moulds, of labels.")
    ] = None,
    address: Annotated[
        str,
        typer.Option("--address", help="Where the service is reached, for the codes of labels."),
    ] = "http://127.0.0.1:8000",
    set_on: Annotated[str, typer.Option("--paper", help="a4 or us-letter.")] = "a4",
    now: Now = None,
    seconds: Seconds = 2.0,
    seed: Seed = 1,
    as_json: AsJson = False,
) -> None:
    """Set a paper for the bench as PDF: day sheets, labels for moulds with codes, what to buy."""
    from mouldwright.cli import papers as command

    command.paper(
        scenario,
        kind,
        out=out,
        day=day,
        person=person,
        family=family,
        address=address,
        set_on=set_on,
        now=now,
        seconds=seconds,
        seed=seed,
        as_json=as_json,
    )


def mark(
    scenario: Scenario,
    put: Annotated[
        str | None, typer.Option("--put", help="An SVG or a PNG that shall be the mark.")
    ] = None,
    take_away: Annotated[bool, typer.Option("--take-away", help="Have none.")] = False,
    out: Out = None,
    as_json: AsJson = False,
) -> None:
    """Read the shop's mark as SVG, put another into the scenario's file, or take it away."""
    from mouldwright.cli import mark as command

    command.mark(scenario, put=put, take_away=take_away, out=out, as_json=as_json)
