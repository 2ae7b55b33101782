"""The backup and restore commands."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from mouldwright.bootstrap import backups_of
from mouldwright.cli.serve import settings_of
from mouldwright.cli.show import console, table
from mouldwright.usecases.backup import Backup, Restored

# In the order a person would ask; what is not named here is of no interest to one.
_WORDS = {
    "shop": "shops",
    "shop_version": "versions of shops",
    "quote": "quotes",
    "quote_revision": "revisions of quotes",
    "booking": "orders",
    "plan": "plans",
    "run": "runs",
    "token": "tokens",
}


def backup(file: str, *, database: str | None, as_json: bool) -> None:
    """Write all that is kept to a file, while the service goes on."""
    made = backups_of(settings_of(database_url=database)).take(Path(file))
    if as_json:
        _print_json({"file": file, **_facts(made)})
        return
    _show(made, f"Everything kept is in {file}.")
    console().print(
        "It holds names of customers and figures of the shop: keep it where only you can read it, "
        "and a copy on another machine."
    )


def look(file: str, *, database: str | None, as_json: bool) -> None:
    """Read a backup to its end and say what is in it; nothing is changed."""
    found = backups_of(settings_of(database_url=database)).look(Path(file))
    if as_json:
        _print_json({"file": file, **_facts(found)})
        return
    _show(found, f"{file} is whole.")


def restore(
    file: str, *, database: str | None, replace: bool, withdraw_tokens: bool, as_json: bool
) -> None:
    """Put back what a backup holds."""
    done = backups_of(settings_of(database_url=database)).put_back(
        Path(file), replace=replace, withdraw_tokens=withdraw_tokens
    )
    if as_json:
        _print_json(
            {
                "file": file,
                **_facts(done.backup),
                "rows_replaced": done.replaced,
                "tokens_that_hold": done.tokens,
            }
        )
        return
    _show(done.backup, f"What {file} held is back.")
    console().print(_on_tokens(done))


def _on_tokens(done: Restored) -> str:
    if not done.tokens:
        return "No token holds. `mouldwright serve` gives a link to sign in."
    return (
        f"Tokens that hold again: {done.tokens}. One that was withdrawn after the backup was "
        "made may be among them: look through them, or restore with --withdraw-tokens."
    )


def _show(held: Backup, heading: str) -> None:
    out = console()
    out.print(f"{heading} As of {held.made_at:%Y-%m-%d %H:%M:%S} UTC.", soft_wrap=True)
    out.print()
    rows = [(word, held.rows.get(name, 0)) for name, word in _WORDS.items()]
    out.print(table([("what", "left"), ("how many", "right")], rows))
    out.print()


def _facts(held: Backup) -> dict[str, Any]:
    return {
        "made_at": held.made_at.isoformat(),
        "schema": held.schema,
        "rows": dict(held.rows),
        "sha256": held.digest,
    }


def _print_json(answer: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False) + "\n")
