"""The audit command as it is typed.

Imports of the work itself stand inside the command, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import AsJson, Database


def add_audit_command(app: typer.Typer) -> None:
    """Add it to the command line."""
    app.command()(audit)


def audit(
    shop: Annotated[
        str | None,
        typer.Option("--shop", help="Key of a shop; left out, what belongs to no one shop."),
    ] = None,
    database: Database = None,
    thing: Annotated[
        str | None, typer.Option("--thing", help="Only such things: order, quote, shop, token.")
    ] = None,
    key: Annotated[str | None, typer.Option("--key", help="Only the one of that key.")] = None,
    limit: Annotated[
        int, typer.Option("--limit", min=1, max=50_000, help="How many, the newest first.")
    ] = 50,
    out: Annotated[
        str | None, typer.Option("--out", help="A file to write them to, .csv or .xlsx.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say who changed what in a served shop, the newest first."""
    from mouldwright.cli import audit as command

    command.audit(
        shop=shop,
        database=database,
        thing=thing,
        key=key,
        limit=limit,
        out=out,
        as_json=as_json,
    )
