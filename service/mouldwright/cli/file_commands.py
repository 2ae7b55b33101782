"""Commands that hand something out as a file: a calendar, a table, a sheet of paper.

Imports of the work itself stand inside the commands, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import AsJson, Now, Scenario, Seconds

Out = Annotated[str | None, typer.Option("--out", help="Write it to this file.")]
Seed = Annotated[int, typer.Option("--seed", help="Same seed, same search.")]


def add_file_commands(app: typer.Typer) -> None:
    """Add them to the command line, in the order in which they are listed."""
    app.command()(feed)


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
