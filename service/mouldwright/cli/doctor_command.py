"""The doctor command as it is typed.

Imports of the work itself stand inside the command, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import AsJson, Database


def add_doctor_command(app: typer.Typer) -> None:
    """Add it to the command line."""
    app.command()(doctor)


def doctor(
    database: Database = None,
    demo: Annotated[
        bool, typer.Option("--demo", help="The service is, or will be, started with --demo.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Say what is wrong with the installation, changing nothing. Exit code 1 where anything is."""
    from mouldwright.cli import doctor as command

    raise typer.Exit(command.doctor(database=database, demo=demo, as_json=as_json))
