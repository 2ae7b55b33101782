"""Entry point of the console script."""

import typer

app = typer.Typer(no_args_is_help=True, add_completion=False)


@app.callback()
def mouldwright() -> None:
    """Plan, cost and quote small batches made in moulds."""


def run() -> None:
    """Run the command line."""
    app()
