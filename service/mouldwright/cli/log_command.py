"""The log command: what happened at the bench, listed or noted in the scenario's file.

Imports of the work itself stand inside the command, so that ``--help`` is quick.
"""

from __future__ import annotations

from typing import Annotated

import typer

from mouldwright.cli.options import AsJson, Now, Scenario


def add_log_command(app: typer.Typer) -> None:
    """Add it to the command line."""
    app.command()(log)


_Text = typer.Option


def log(
    scenario: Scenario,
    note: Annotated[
        str | None,
        _Text("--note", help="What happened: started, finished, scrapped, mould lost and so on."),
    ] = None,
    at: Annotated[
        str | None, _Text("--at", help="When, local to the shop; else --now, else its start.")
    ] = None,
    person: Annotated[
        list[str] | None, _Text("--person", help="Key of who did it, or is away; again for more.")
    ] = None,
    order: Annotated[str | None, _Text("--order", help="Number of an order.")] = None,
    pulls: Annotated[
        list[str] | None, _Text("--pulls", help="Its pulls: 3, or 3,4 or 3-5; again for more.")
    ] = None,
    parts: Annotated[
        list[str] | None, _Text("--parts", help="Its parts: 7, or 7,8 or 7-9; again for more.")
    ] = None,
    operation: Annotated[str | None, _Text("--operation", help="Name of the operation.")] = None,
    process: Annotated[str | None, _Text("--process", help="Key of its process.")] = None,
    part: Annotated[str | None, _Text("--part", help="Key of the part; else the order's.")] = None,
    mould: Annotated[str | None, _Text("--mould", help="Name of a mould.")] = None,
    material: Annotated[str | None, _Text("--material", help="Key of a material.")] = None,
    lot: Annotated[str | None, _Text("--lot", help="What the lot is called.")] = None,
    amount: Annotated[str | None, _Text("--amount", help="Grams, or metres.")] = None,
    best_before: Annotated[str | None, _Text("--best-before", help="Last day of a lot.")] = None,
    supplier: Annotated[str | None, _Text("--supplier", help="Key of a supplier.")] = None,
    paid: Annotated[str | None, _Text("--paid", help="What was paid for what came.")] = None,
    until: Annotated[
        str | None, _Text("--until", help="Until when away; when it is expected now.")
    ] = None,
    mass_g: Annotated[
        str | None, _Text("--mass-g", help="What each part weighs; what stayed in a cup.")
    ] = None,
    temperature_c: Annotated[
        str | None, _Text("--temperature-c", help="What the thermometer showed.")
    ] = None,
    hours_used: Annotated[
        str | None, _Text("--hours-used", help="How long what came back was used.")
    ] = None,
    cause: Annotated[str, _Text("--cause", help="Why, in few words.")] = "",
    text: Annotated[str, _Text("--text", help="Anything else.")] = "",
    takes_back: Annotated[
        int | None, _Text("--takes-back", help="Take back the entry of this number.")
    ] = None,
    said_once: Annotated[
        str, _Text("--said-once", help="A name of yours: noted once, however often it is sent.")
    ] = "",
    day: Annotated[str | None, _Text("--day", help="List only what happened that day.")] = None,
    what: Annotated[str | None, _Text("--what", help="List only such happenings.")] = None,
    now: Now = None,
    as_json: AsJson = False,
) -> None:
    """Say what happened at the bench; with --note, write a further entry into the file."""
    from mouldwright.cli import log as command

    if note is None and takes_back is None:
        command.listed(
            scenario, day=day, what=what, order=order, mould=mould, material=material,
            person=person[0] if person else None, as_json=as_json,
        )  # fmt: skip
        return
    given = {
        "what": note if takes_back is None else "taken back",
        "at": at, "people": person, "order": order,
        "pulls": " ".join(pulls or ()), "parts": " ".join(parts or ()),
        "operation": operation, "process": process, "part": part, "mould": mould,
        "material": material, "lot": lot, "amount": amount, "best_before": best_before,
        "supplier": supplier, "paid": paid, "until": until, "mass_g": mass_g,
        "temperature_c": temperature_c, "hours_used": hours_used, "cause": cause, "note": text,
        "takes_back": takes_back, "said_once": said_once,
    }  # fmt: skip
    command.noted(
        scenario,
        {name: value for name, value in given.items() if value not in (None, "")},
        now=now,
        as_json=as_json,
    )
