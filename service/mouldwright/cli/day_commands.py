"""Commands for a day at the bench: in the order of the hands, handing over, how far an order is.

Imports of the work itself stand inside the commands, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import AsJson, Now, Scenario, Seconds

Seed = Annotated[int, typer.Option("--seed", help="Same seed, same search.")]


def add_day_commands(app: typer.Typer) -> None:
    """Add them to the command line, in the order in which they are listed."""
    app.command()(tomorrow)
    app.command()(handover)
    app.command()(stage)


def tomorrow(
    scenario: Scenario,
    day: Annotated[
        str | None, typer.Option("--day", help="That day; else the next one with work.")
    ] = None,
    now: Now = None,
    seconds: Seconds = 2.0,
    seed: Seed = 1,
    as_json: AsJson = False,
) -> None:
    """Say what is done tomorrow, in the order of the hands: demould, condition, mix, load, oven."""
    from mouldwright.cli import bench_day as command

    command.tomorrow(scenario, day=day, now=now, seconds=seconds, seed=seed, as_json=as_json)


def handover(
    scenario: Scenario,
    now: Now = None,
    seconds: Seconds = 2.0,
    seed: Seed = 1,
    as_json: AsJson = False,
) -> None:
    """Say what cures, what must be taken up by when, what is at risk and who comes next."""
    from mouldwright.cli import bench_day as command

    command.handover(scenario, now=now, seconds=seconds, seed=seed, as_json=as_json)


def stage(
    scenario: Scenario,
    order: Annotated[str, typer.Option("--order", help="Number of an order.")],
    now: Now = None,
    seconds: Seconds = 2.0,
    seed: Seed = 1,
    as_json: AsJson = False,
) -> None:
    """Say how far an order is and its next date, as its customer is told."""
    from mouldwright.cli import bench_day as command

    command.stage(scenario, order, now=now, seconds=seconds, seed=seed, as_json=as_json)
