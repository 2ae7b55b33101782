"""What would change which process is best, printed."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.show import heading, table
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.standing import AIMS, Aim
from mouldwright.domain.switching.find import FARTHEST_TIMES
from mouldwright.wire.answers.switching import SwitchAnswer, WhatChangesAnswer


def aim_of(asked: str) -> Aim:
    """Return an aim that was asked for by name.

    Raises:
        InvalidInput: if there is none of that name.
    """
    for aim in AIMS:
        if aim == asked:
            return aim
    fault = Fault(
        path="--aim",
        value=asked,
        problem="there is no such aim.",
        remedy=f"Write one of {', '.join(AIMS)}.",
    )
    raise InvalidInput([fault])


def show_what_changes(out: Console, answer: WhatChangesAnswer) -> None:
    """Print the switching values, nearest first, and what changes nothing."""
    heading(out, f"What would change the answer ({answer.aim}: {answer.process or 'none'})")
    out.print(answer.why)
    if answer.switches:
        out.print(
            table(
                [
                    ("if alone", "left"),
                    ("from", "right"),
                    ("to", "right"),
                    ("%", "right"),
                    ("then", "left"),
                ],
                [
                    (
                        each.title,
                        each.value,
                        _at(each),
                        None if each.change is None else f"{each.change * 100:+.1f}",
                        each.instead or "none",
                    )
                    for each in answer.switches
                ],
            )
        )
        out.print(
            "Each moves alone; one step less and the answer stands. ~ marks a value looked for in "
            "wider steps on the way: --json says in which."
        )
    out.print(
        f"{len(answer.steady)} other numbers change nothing, from nothing to {FARTHEST_TIMES} "
        f"times what they are; --json names them."
    )


def _at(each: SwitchAnswer) -> str:
    about = "" if each.looked_every is None else "~ "
    return f"{about}{each.at} {each.unit}".rstrip()
