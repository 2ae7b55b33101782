"""The bench-tests command: what bending finished parts has taught."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.opening import open_shop
from mouldwright.cli.show import console, figure, heading, print_json, table
from mouldwright.usecases.bench_tests import bench_tests
from mouldwright.wire.answers.bench_tests import (
    BenchTestsAnswer,
    BentAnswer,
    CountedAnswer,
    LearntAnswer,
)

_NONE = (
    "No part was bent yet. Note one down as [bench_tests.<key>]: part, process, date and readings; "
    "docs/stiffness.md says how."
)


def show_bench_tests(scenario: str, process: str | None, *, as_json: bool) -> None:
    """Print what the bench tests of a shop say of each process."""
    shop = open_shop(scenario)
    answer = BenchTestsAnswer.of(bench_tests(shop, process))
    if as_json:
        print_json(answer)
        return
    out = console()
    if not answer.processes:
        out.print(_NONE)
    for each in answer.processes:
        _show(out, each)


def _stiffness(test: BentAnswer) -> str | None:
    shown = figure(test.stiffness_n_per_mm, 3)
    return f"at most {shown}" if test.is_bound and shown else shown


def _show(out: Console, answer: LearntAnswer) -> None:
    heading(out, f"{answer.title}: parts bent at the bench")
    out.print(
        table(
            [
                ("test", "left"),
                ("part", "left"),
                ("N/mm", "right"),
                ("±", "right"),
                ("theory", "right"),
                ("share", "right"),
                ("GPa", "right"),
                ("mass", "right"),
            ],
            [
                (
                    test.key,
                    test.part,
                    _stiffness(test),
                    figure(test.stiffness_error_n_per_mm, 3),
                    figure(test.theory_n_per_mm, 3),
                    figure(test.share, 3),
                    figure(test.modulus_gpa, 2),
                    None if test.mass_share is None else f"{test.mass_share * 100:.1f} %",
                )
                for test in answer.tests
            ],
        )
    )
    for test in answer.tests:
        for reason in test.refused:
            out.print(f"{test.key} is left out: {reason}")
        for warning in test.warnings:
            out.print(f"{test.key}: {warning}")
    held = answer.counted
    if held.mean is not None and held.spread is not None:
        out.print(
            f"{held.tests} tests: {held.mean:.3f} of theory, spread {held.spread:.3f}, "
            f"k = {held.tolerance_factor:.3f}. Counted on: {_counted(held)} "
            f"({held.theory_share:g} without tests)."
        )
        more = answer.share_with_more.get(2)
        if more is not None:
            out.print(f"Two more tests that scatter like these would let {more:.3f} be counted on.")
    else:
        out.print(
            f"Too few to make a limit: {held.share:.3g} of theory is counted on. Bend a second one."
        )


def _counted(held: CountedAnswer) -> str:
    """Return the share counted on, or that tests this far apart leave none."""
    return "nothing, they lie too far apart" if held.too_wide else f"{held.share:.3f}"
