"""The sign-out command as it is typed.

Imports of the work itself stand inside the command, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import AsJson, Database


def add_sign_out_command(app: typer.Typer) -> None:
    """Add it to the command line."""
    app.command("sign-out")(sign_out)


def sign_out(
    database: Database = None,
    shop: Annotated[
        str | None, typer.Option("--shop", help="Key of the shop; left out, keepers.")
    ] = None,
    tokens_too: Annotated[
        bool,
        typer.Option("--tokens-too", help="End tokens of tablets and programs as well."),
    ] = False,
    demo: Annotated[
        bool, typer.Option("--demo", help="The service is, or will be, started with --demo.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Sign everyone out of a served shop, or every keeper; unopened sign-in links lapse too."""
    from mouldwright.cli import sign_out as command

    command.sign_out(
        database=database, shop=shop, tokens_too=tokens_too, demo=demo, as_json=as_json
    )
