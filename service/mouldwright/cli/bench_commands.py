"""Commands about one part at the bench: how it bends, what bending taught, what is weighed.

Imports of the work itself stand inside the commands, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import AsJson, PartKey, ProcessKey, Scenario


def add_bench_commands(app: typer.Typer) -> None:
    """Add them to the command line, in the order in which they are listed."""
    app.command()(deflection)
    app.command("bench-tests")(bench_tests)
    app.command()(charge)
    app.command()(sample)


def deflection(
    scenario: Scenario, part: PartKey, process: ProcessKey, as_json: AsJson = False
) -> None:
    """Say how far a part bends by one process, what it weighs and what goes into it."""
    from mouldwright.cli import deflection as command

    command.deflection(scenario, part, process, as_json=as_json)


def bench_tests(
    scenario: Scenario,
    process: Annotated[
        str | None, typer.Option("--process", help="Key of one process; all of them if left out.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say what bending finished parts has taught, and how much stiffness is counted on."""
    from mouldwright.cli import bench_tests as command

    command.show_bench_tests(scenario, process, as_json=as_json)


def charge(
    scenario: Scenario,
    part: PartKey,
    process: ProcessKey,
    pulls: Annotated[int, typer.Option("--pulls", min=1, help="Pulls loaded at once.")] = 1,
    weighed: Annotated[
        float | None, typer.Option("--weighed", min=0.0, help="Grams of a finished part.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say what to weigh for so many pulls, and what a finished part should weigh."""
    from mouldwright.cli import charge as command

    command.show_charge(scenario, part, process, pulls, weighed, as_json=as_json)


def sample(
    lot: Annotated[
        int | None, typer.Option("--lot", min=1, help="Parts in the lot; none for endless.")
    ] = None,
    bad: Annotated[
        float,
        typer.Option("--bad", min=0.001, max=0.999, help="Share of bad parts not to pass unseen."),
    ] = 0.1,
    confidence: Annotated[
        float, typer.Option("--confidence", min=0.5, max=0.9999, help="How sure to be.")
    ] = 0.95,
    may_fail: Annotated[
        int, typer.Option("--may-fail", min=0, help="How many of those tested may fail.")
    ] = 0,
    good: Annotated[
        float | None,
        typer.Option(
            "--good",
            min=0.0,
            max=0.99,
            help="Share of bad parts with which a lot must still pass; how many may fail follows.",
        ),
    ] = None,
    good_passes: Annotated[
        float, typer.Option("--good-passes", min=0.5, max=0.9999, help="How surely it passes.")
    ] = 0.95,
    as_json: AsJson = False,
) -> None:
    """Say how many parts of a lot to test."""
    from mouldwright.cli import charge as command

    command.show_sample(
        lot, bad, confidence, may_fail, good=good, good_passes=good_passes, as_json=as_json
    )
