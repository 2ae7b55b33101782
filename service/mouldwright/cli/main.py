"""The commands. Each opens the scenario, asks one use case and shows the answer.

Imports of the work itself stand inside the commands, so that ``--help`` is quick.
"""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from mouldwright.cli.audit_command import add_audit_command
from mouldwright.cli.bench_commands import add_bench_commands
from mouldwright.cli.day_commands import add_day_commands
from mouldwright.cli.doctor_command import add_doctor_command
from mouldwright.cli.exit import DONE, exit_code
from mouldwright.cli.file_commands import add_file_commands
from mouldwright.cli.ledger_commands import add_ledger_commands
from mouldwright.cli.log_command import add_log_command
from mouldwright.cli.options import (
    AimName,
    AsJson,
    ByRate,
    Database,
    Now,
    PartKey,
    Port,
    ProcessKey,
    Quantity,
    Scenario,
    Seconds,
    SetProcessKey,
    WhatChanges,
)
from mouldwright.cli.quote_commands import add_quote_commands
from mouldwright.cli.sign_out_command import add_sign_out_command

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


@app.callback()
def mouldwright() -> None:
    """Plan, cost and quote small batches made in moulds."""


@app.command()
def check(scenario: Scenario, as_json: AsJson = False) -> None:
    """Read a scenario and name every fault in it."""
    from mouldwright.cli import check as command

    raise typer.Exit(command.check(scenario, as_json=as_json))


add_bench_commands(app)


@app.command()
def rate(
    scenario: Scenario,
    part: PartKey,
    process: ProcessKey,
    moulds: Annotated[
        int | None, typer.Option("--moulds", help="As if there were so many moulds.")
    ] = None,
    now: Now = None,
    as_json: AsJson = False,
) -> None:
    """Say how many can be made an hour and a day, and what holds it there."""
    from mouldwright.cli import rate as command

    command.rate(scenario, part, process, moulds, now=now, as_json=as_json)


@app.command()
def compare(
    scenario: Scenario,
    part: PartKey,
    quantity: Quantity,
    by: Annotated[
        str | None, typer.Option("--by", help="Date, or date and time, the parts are wanted.")
    ] = None,
    now: Now = None,
    by_rate: ByRate = False,
    odds: Annotated[bool, typer.Option("--odds", help="Say what each may cost.")] = False,
    what_changes: WhatChanges = False,
    aim: AimName = "recommended",
    as_json: AsJson = False,
) -> None:
    """Compare the processes for a part and a quantity, and choose one."""
    from mouldwright.cli import compare as command

    command.compare(
        scenario,
        part,
        quantity,
        by=by,
        now=now,
        by_rate=by_rate,
        with_odds=odds,
        changes_of=aim if what_changes else None,
        as_json=as_json,
    )


add_quote_commands(app)


@app.command()
def buy(
    scenario: Scenario,
    part: Annotated[
        str | None,
        typer.Option("--part", help="Buy for this part (or set) alone, on top of the open orders."),
    ] = None,
    process: SetProcessKey = None,
    quantity: Annotated[int, typer.Option("--quantity", help="Good parts wanted of it.")] = 1,
    by: Annotated[str | None, typer.Option("--by", help="Date by which it must be there.")] = None,
    now: Now = None,
    as_json: AsJson = False,
) -> None:
    """Say which packs to buy, and from whom, so that they cost least; with the proof."""
    from mouldwright.cli import buy as command

    command.buy(
        scenario, part=part, process=process, quantity=quantity, by=by, now=now, as_json=as_json
    )


@app.command()
def plan(
    scenario: Scenario,
    now: Now = None,
    seconds: Seconds = 5.0,
    seed: Annotated[int, typer.Option("--seed", help="Same seed, same search.")] = 1,
    by: Annotated[
        str, typer.Option("--show", help="The table to print: day, mould, order or use.")
    ] = "day",
    explain: Annotated[
        str | None,
        typer.Option("--explain", help="Number of an order: say what fixes its date instead."),
    ] = None,
    keep: Annotated[
        str | None,
        typer.Option("--keep", help="A plan printed with --json before: what stands of it stays."),
    ] = None,
    changes: Annotated[
        bool, typer.Option("--changes", help="With --keep: say what moves, and why, instead.")
    ] = False,
    odds: Annotated[
        bool, typer.Option("--odds", help="Say how likely each order is ready by when.")
    ] = False,
    runs: Annotated[
        int, typer.Option("--runs", help="How often the plan is gone through for the odds.")
    ] = 1000,
    as_json: AsJson = False,
) -> None:
    """Plan all open orders: who does what when, on which mould, and when each is ready."""
    from mouldwright.cli import plan as command

    command.plan(
        scenario,
        now=now,
        seconds=seconds,
        seed=seed,
        show=by,
        explain=explain,
        keep=keep,
        only_changes=changes,
        with_odds=odds,
        runs=runs,
        as_json=as_json,
    )


@app.command()
def today(
    scenario: Scenario,
    now: Now = None,
    seconds: Seconds = 2.0,
    seed: Annotated[int, typer.Option("--seed", help="Same seed, same search.")] = 1,
    as_json: AsJson = False,
) -> None:
    """Say what the bench needs today: what is in hand, who does what, what waits, what is due."""
    from mouldwright.cli import today as command

    command.today(scenario, now=now, seconds=seconds, seed=seed, as_json=as_json)


add_day_commands(app)
add_file_commands(app)


@app.command("try")
def try_order(
    scenario: Scenario,
    part: PartKey,
    quantity: Quantity,
    process: SetProcessKey = None,
    by: Annotated[
        str | None, typer.Option("--by", help="Date, or date and time, it is wanted.")
    ] = None,
    now: Now = None,
    seconds: Seconds = 2.0,
    options: Annotated[
        bool,
        typer.Option(help="Plan and price the other ways to take it too, side by side."),
    ] = True,
    as_json: AsJson = False,
) -> None:
    """Try one more order before saying yes: when it is ready, whose date moves, what else."""
    from mouldwright.cli import try_order as command

    command.try_order(
        scenario,
        part,
        process,
        quantity,
        by=by,
        now=now,
        seconds=seconds,
        options=options,
        as_json=as_json,
    )


@app.command("one-more")
def one_more(
    scenario: Scenario,
    now: Now = None,
    seconds: Annotated[
        float, typer.Option("--seconds", min=0.1, help="Search each plan no longer than this.")
    ] = 3.0,
    seed: Annotated[int, typer.Option("--seed", help="Same seed, same search.")] = 1,
    as_json: AsJson = False,
) -> None:
    """Say what one more mould, hour, day or machine, or a shorter cure, would buy."""
    from mouldwright.cli import one_more as command

    command.one_more(scenario, now=now, seconds=seconds, seed=seed, as_json=as_json)


@app.command()
def moulds(
    scenario: Scenario,
    order: Annotated[str, typer.Option("--order", help="Number of an open order.")],
    most: Annotated[
        int | None, typer.Option("--most", help="Try no more moulds than this.")
    ] = None,
    now: Now = None,
    seconds: Annotated[
        float, typer.Option("--seconds", min=0.1, help="Search each plan no longer than this.")
    ] = 3.0,
    seed: Annotated[int, typer.Option("--seed", help="Same seed, same search.")] = 1,
    as_json: AsJson = False,
) -> None:
    """Say how many moulds an order wants: what each count costs and when it is ready."""
    from mouldwright.cli import one_more as command

    command.moulds(scenario, order, now=now, most=most, seconds=seconds, seed=seed, as_json=as_json)


add_ledger_commands(app)
add_log_command(app)


@app.command()
def demo(
    write: Annotated[
        str | None, typer.Option("--write", help="Copy the demo shop to this new folder instead.")
    ] = None,
    no_serve: Annotated[
        bool, typer.Option("--no-serve", help="Print the tables and end; serve nothing.")
    ] = False,
    port: Port = None,
) -> None:
    """Show the demo shop: a comparison, a priced part, the plan; then serve it until Ctrl-C."""
    from mouldwright.cli import demo as command

    command.demo(write, serves=not no_serve, port=port)


@app.command()
def serve(
    host: Annotated[
        str | None,
        typer.Option("--host", help="Address to listen on; this machine alone by default."),
    ] = None,
    port: Port = None,
    database: Database = None,
    demo: Annotated[
        bool, typer.Option("--demo", help="Add the invented demo shop, new and a month in.")
    ] = False,
) -> None:
    """Serve shops to browsers and programs until Ctrl-C; plans are made beside."""
    from mouldwright.cli import serve as command

    command.serve_until_stopped(host=host, port=port, database=database, demo=demo)


@app.command()
def work(database: Database = None) -> None:
    """Take up runs of a served database until Ctrl-C, beside other workers."""
    from mouldwright.cli import serve as command

    command.work_until_stopped(database=database)


@app.command("sign-in")
def sign_in(
    database: Database = None,
    role: Annotated[
        str | None,
        typer.Option(
            "--role", help="keeper, owner, planner, bench or viewer; owner where a shop is named."
        ),
    ] = None,
    shop: Annotated[
        str | None, typer.Option("--shop", help="Key of the one shop it opens; none for a keeper.")
    ] = None,
    address: Annotated[
        str | None,
        typer.Option("--address", help="Where the service is reached; as serve says by default."),
    ] = None,
    demo: Annotated[
        bool, typer.Option("--demo", help="The service is, or will be, started with --demo.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Print a fresh link that signs in once, for a service that runs or will."""
    from mouldwright.cli import sign_in as command

    command.sign_in(
        database=database, role=role, shop=shop, address=address, demo=demo, as_json=as_json
    )


@app.command()
def backup(
    file: Annotated[str, typer.Argument(help="Where to write it; an earlier backup is replaced.")],
    database: Database = None,
    as_json: AsJson = False,
) -> None:
    """Write all that is kept at one moment to a file, while the service goes on."""
    from mouldwright.cli import backup as command

    command.backup(file, database=database, as_json=as_json)


@app.command()
def restore(
    file: Annotated[str, typer.Argument(help="A file that backup wrote.")],
    database: Database = None,
    look: Annotated[
        bool, typer.Option("--look", help="Only read it to its end and say what is in it.")
    ] = False,
    replace: Annotated[
        bool, typer.Option("--replace", help="Lose what the database holds now.")
    ] = False,
    withdraw_tokens: Annotated[
        bool, typer.Option("--withdraw-tokens", help="Let no token of the backup hold again.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Put back what a backup holds, all or nothing. Stop the service first."""
    from mouldwright.cli import backup as command

    if look:
        command.look(file, database=database, as_json=as_json)
        return
    command.restore(
        file, database=database, replace=replace, withdraw_tokens=withdraw_tokens, as_json=as_json
    )


add_sign_out_command(app)
add_audit_command(app)
add_doctor_command(app)


def run() -> None:
    """Run the command line and leave with its exit code.

    0 done; 2 the input is wrong; 3 no plan meets a hard limit; 1 anything else.
    """
    from mouldwright.domain.errors import MouldwrightError

    try:
        app(standalone_mode=True)
    except MouldwrightError as error:
        print(error, file=sys.stderr)  # noqa: T201  the command line is where errors are printed
        sys.exit(exit_code(error))
    sys.exit(DONE)
