"""The doctor command: what is wrong with an installation."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import asdict

from rich.text import Text

from mouldwright.cli.examination import examine_installation
from mouldwright.cli.exit import DONE, FAILED
from mouldwright.cli.serve import settings_of
from mouldwright.cli.show import console, table
from mouldwright.usecases.diagnosis import Finding, State


def doctor(*, database: str | None, demo: bool, as_json: bool) -> int:
    """Look at everything a service needs and print what was found.

    Returns:
        The exit code: 1 where something is wrong, else 0.

    Raises:
        InvalidInput: if a setting cannot be right, or the database is none of ours.
    """
    findings = examine_installation(settings_of(database_url=database), demo=demo)
    wrong = sum(finding.state is State.WRONG for finding in findings)
    if as_json:
        answer = {"is_well": not wrong, "findings": [asdict(each) for each in findings]}
        sys.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False) + "\n")
    else:
        _show(findings, wrong)
    return FAILED if wrong else DONE


def _show(findings: Sequence[Finding], wrong: int) -> None:
    out = console()
    rows = []
    for each in findings:
        style = {State.WELL: "", State.CAUTION: "yellow", State.WRONG: "bold red"}[each.state]
        rows.append(
            (each.what, Text(each.state.value, style), f"{each.says} {each.remedy}".strip())
        )
    out.print(table([("what", "left"), ("found", "left"), ("", "left")], rows))
    out.print()
    cautions = sum(each.state is State.CAUTION for each in findings)
    out.print(f"{wrong} wrong, {cautions} to look at, {len(findings) - wrong - cautions} well.")
