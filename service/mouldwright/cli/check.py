"""The check command: every fault of a scenario, and what it holds."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from rich.console import Console

from mouldwright.cli.exit import DONE, WRONG_INPUT
from mouldwright.cli.opening import clock
from mouldwright.cli.show import console, table
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.scenario.demo import demo_names, demo_path
from mouldwright.scenario.read import ScenarioRead, read_scenario
from mouldwright.usecases.examine import never_possible
from mouldwright.usecases.present import present


def check(scenario: str, *, as_json: bool = False) -> int:
    """Read a scenario and say all that is wrong with it, or what it holds.

    Args:
        scenario: A file, a folder, or the name of a demo shop.
        as_json: Whether to print JSON.

    Returns:
        The exit code: 0 where it can be used, 2 where it is wrong.
    """
    path = Path(scenario)
    if not path.exists() and scenario in demo_names():
        path = demo_path(scenario)
    try:
        read = read_scenario(path)
    except InvalidInput as error:
        if as_json:
            _print_json({"ok": False, "faults": _listed(error.faults), "warnings": []})
        _print_faults(error)
        return WRONG_INPUT
    never = never_possible(read.shop, now=present(read.shop, None, clock))
    if as_json:
        warnings = _listed(read.warnings)
        shop = dict(_counts(read.shop))
        _print_json(
            {"ok": True, "faults": [], "warnings": warnings, "never": list(never), "shop": shop}
        )
    else:
        _print_summary(console(), read, never)
    return DONE


def _print_faults(error: InvalidInput) -> None:
    many = len(error.faults)
    out = Console(stderr=True, highlight=False, emoji=False, markup=False, soft_wrap=True)
    for fault in error.faults:
        out.print(str(fault))
    out.print(f"{many} fault{'' if many == 1 else 's'}; nothing was made from it.")


def _print_summary(out: Console, read: ScenarioRead, never: Sequence[str]) -> None:
    shop = read.shop
    stands = "It can be used."
    if never or read.warnings:
        stands = "It can be read; what is said below the table wants a look first."
    out.print(f"{shop.name}: {shop.currency.code}, {shop.zone}. {stands}")
    out.print()
    out.print(table([("what", "left"), ("how many", "right")], _counts(shop)))
    if read.warnings:
        many = len(read.warnings)
        out.print()
        out.print(f"{many} warning{'' if many == 1 else 's'}:")
        for warning in read.warnings:
            out.print(str(warning), soft_wrap=True)
    if never:
        out.print()
        out.print("What no plan can do:")
        for limit in never:
            out.print(limit, soft_wrap=True)


def _counts(shop: Shop) -> list[tuple[str, int]]:
    return [
        ("people", len(shop.people)),
        ("stations", sum(station.count for station in shop.stations.values())),
        ("materials", len(shop.materials)),
        ("offers", len(shop.offers)),
        ("parts", len(shop.parts)),
        ("sets", len(shop.sets)),
        ("processes", len(shop.processes)),
        ("moulds", sum(len(family.moulds) for family in shop.moulds.values())),
        ("orders", len(shop.orders)),
    ]


def _listed(faults: Iterable[Fault]) -> list[dict[str, Any]]:
    return [
        {
            "file": fault.file or None,
            "line": fault.line or None,
            "path": fault.path,
            "value": fault.value,
            "problem": fault.problem,
            "remedy": fault.remedy,
        }
        for fault in faults
    ]


def _print_json(answer: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False) + "\n")
