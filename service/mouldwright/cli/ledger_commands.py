"""Commands about what the log makes of a shop: ledgers, serials, what orders cost, what it teaches.

Imports of the work itself stand inside the commands, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import AsJson, Now, Scenario, Seconds

_Seed = Annotated[int, typer.Option("--seed", help="Same seed, same search.")]


def add_ledger_commands(app: typer.Typer) -> None:
    """Add them to the command line, in the order in which they are listed."""
    app.command()(ledger)
    app.command()(trace)
    app.command()(spent)
    app.command()(learn)


def ledger(
    scenario: Scenario,
    mould: Annotated[
        str | None, typer.Option("--mould", help="Name of one mould: all that happened to it.")
    ] = None,
    material: Annotated[
        str | None,
        typer.Option("--material", help="Key of one material: its lots and what is reserved."),
    ] = None,
    now: Now = None,
    seconds: Seconds = 2.0,
    seed: _Seed = 1,
    as_json: AsJson = False,
) -> None:
    """Say how moulds and stock stand by the log, and when each is used up."""
    from mouldwright.cli import ledger as command

    command.ledger(
        scenario, mould=mould, material=material, now=now, seconds=seconds, seed=seed,
        as_json=as_json,
    )  # fmt: skip


def trace(
    scenario: Scenario,
    serial: Annotated[
        str | None, typer.Option("--serial", help="One part: its order and number, as 1001-7.")
    ] = None,
    order: Annotated[str | None, typer.Option("--order", help="Parts of this order.")] = None,
    mould: Annotated[str | None, typer.Option("--mould", help="Parts of this mould.")] = None,
    material: Annotated[
        str | None, typer.Option("--material", help="Key of the material of --lot.")
    ] = None,
    lot: Annotated[str | None, typer.Option("--lot", help="Parts that hold of this lot.")] = None,
    mix: Annotated[
        int | None, typer.Option("--mix", min=1, help="Parts of the mix this log entry tells of.")
    ] = None,
    now: Now = None,
    as_json: AsJson = False,
) -> None:
    """Trace a part from its serial to mould, mix, cure, test and customer, or the way back."""
    from mouldwright.cli import trace as command

    command.trace(
        scenario, serial, order=order, mould=mould, material=material, lot=lot, mix=mix, now=now,
        as_json=as_json,
    )  # fmt: skip


def spent(
    scenario: Scenario,
    order: Annotated[str, typer.Option("--order", help="Number of an order.")],
    now: Now = None,
    as_json: AsJson = False,
) -> None:
    """Say what an order really cost by the log, group by group beside what it was reckoned to."""
    from mouldwright.cli import trace as command

    command.spent(scenario, order, now=now, as_json=as_json)


def learn(scenario: Scenario, as_json: AsJson = False) -> None:
    """Say what the log teaches of times, yields and failures, beside the standard."""
    from mouldwright.cli import learn as command

    command.learn(scenario, as_json=as_json)
