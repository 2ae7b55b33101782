"""What several commands are asked with, each said once."""

from __future__ import annotations

from typing import Annotated

import typer

Scenario = Annotated[
    str, typer.Argument(help="A scenario file, a folder of them, or the name of a demo shop.")
]
PartKey = Annotated[str, typer.Option("--part", help="Key of the part (or set).")]
ProcessKey = Annotated[str, typer.Option("--process", help="Key of the process.")]
SetProcessKey = Annotated[
    str | None, typer.Option("--process", help="Key of the process; none for a set.")
]
Quantity = Annotated[int, typer.Option("--quantity", help="Good parts wanted.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the answer as JSON.")]
Now = Annotated[
    str | None,
    typer.Option(
        "--now", help="Local date and time to plan from; else the scenario's start, else the clock."
    ),
]
Seconds = Annotated[float, typer.Option("--seconds", min=0.0, help="Search no longer than this.")]
ByRate = Annotated[
    bool,
    typer.Option("--by-rate", help="Take lead times from the rate alone, booked work left out."),
]
Port = Annotated[
    int | None,
    typer.Option("--port", min=0, max=65_535, help="Port to listen on; 8000 by default."),
]

Database = Annotated[
    str | None,
    typer.Option("--database", help="sqlite:///file.db or postgresql://user@host/name."),
]
WhatChanges = Annotated[
    bool,
    typer.Option(
        "--what-changes", help="Say at which value of each number another would be the best."
    ),
]
AimName = Annotated[
    str,
    typer.Option(
        "--aim",
        help="What that is the best of: recommended, cheapest, soonest, stiffest or lightest.",
    ),
]
