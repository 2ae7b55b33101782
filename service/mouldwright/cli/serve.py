"""The serve and work commands: the service and its pages, or a worker of it, until Ctrl-C."""

from __future__ import annotations

import sys
from typing import Any

from pydantic import ValidationError

from mouldwright import tracing
from mouldwright.bootstrap import Ready, serve
from mouldwright.bootstrap.workers import work
from mouldwright.domain.errors import Fault, InvalidInput, MouldwrightError
from mouldwright.logs import write_logs
from mouldwright.settings import Settings


def settings_of(**given: Any) -> Settings:
    """Return the settings: as given, else as the environment says, else as by default.

    Raises:
        InvalidInput: with every setting that cannot be right.
    """
    try:
        return Settings(**{name: value for name, value in given.items() if value is not None})
    except ValidationError as error:
        raise InvalidInput(
            [
                Fault(
                    path=f"MOULDWRIGHT_{'_'.join(str(step) for step in details['loc']).upper()}",
                    # A setting may hold a password.
                    value="",
                    problem=f"{details['msg']}.",
                    remedy="Change it, or leave it out.",
                )
                for details in error.errors(include_input=False)
            ]
        ) from None


def serve_until_stopped(
    *, host: str | None, port: int | None, database: str | None, demo: bool
) -> None:
    """Serve what the settings and the options say."""
    settings = settings_of(host=host, port=port, database_url=database)
    write_logs(requests=True)
    try:
        tracing.begin(settings.tracing)
    except ValueError as error:
        raise MouldwrightError(str(error)) from None
    serve(settings, demo=demo, any_port=False, ready=tell)


def work_until_stopped(*, database: str | None) -> None:
    """Take up runs of the database that the settings and the option say."""
    work(settings_of(database_url=database))


def tell(ready: Ready) -> None:
    """Print where it is served and the link that signs in once. The link goes nowhere else."""
    lines = [
        f"Serving on {ready.address} until Ctrl-C.",
        f"Sign in once, within {ready.minutes} minutes:",
        f"  {ready.sign_in}",
    ]
    if not ready.is_loopback:
        lines.append(
            "Caution: others on this network can reach it, and what is sent is not encrypted. "
            "Put it behind a server that speaks https."
        )
    sys.stdout.write("\n".join(lines) + "\n")
    sys.stdout.flush()
