"""The learn command: what the log teaches of times, yields, failures and losses."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.opening import open_shop
from mouldwright.cli.show import console, heading, print_json, table
from mouldwright.domain.record.learnt_changes import learnt_at_bench
from mouldwright.wire.answers.learnt import LearntAnswer, LearntTimeAnswer


def learn(scenario: str, *, as_json: bool) -> None:
    """Print times, yields and what they would change."""
    answer = LearntAnswer.of(learnt_at_bench(open_shop(scenario)))
    if as_json:
        print_json(answer)
        return
    out = console()
    if not (answer.times or answer.yields or answer.failures or answer.losses):
        out.print("The log tells of no task that was timed and of no start. Note when work begins.")
        return
    _changes(out, answer)
    if answer.times:
        heading(out, "Times, in minutes")
        out.print(
            table(
                [("process", "left"), ("operation", "left"), ("who", "left"), ("tasks", "right"),
                 ("standard", "right"), ("noted", "right"), ("usual", "right"),
                 ("90 % within", "right")],
                [row for each in answer.times for row in _rows(each)],
            )
        )  # fmt: skip
        for each in answer.times:
            if each.unseen:
                out.print(f"{each.operation}: {each.unseen} left out, whose end nobody saw.")
            if not each.is_for_the_log:
                out.print(f"{each.operation}: it lasts as its data sheet says; shown alone.")
            curve = each.curve
            if curve.rate is not None and curve.least is not None and curve.most is not None:
                out.print(
                    f"{each.operation}: {curve.rate:.0%} at each doubling within an order, "
                    f"{curve.least:.0%} to {curve.most:.0%} with 95 % confidence "
                    f"({curve.tasks} tasks)."
                )
    if answer.yields:
        heading(out, "What passes")
        out.print(
            table(
                [("process", "left"), ("operation", "left"), ("tried", "right"),
                 ("scrapped", "right"), ("standard", "right"), ("passes", "right"),
                 ("90 % within", "right"), ("seconds", "right"), ("their share", "right"),
                 ("90 % within", "right")],
                [
                    (y.process, y.operation, y.tried, y.scrapped, f"{float(y.standard):.1%}",
                     f"{y.rate:.1%}", f"{y.least:.1%} to {y.most:.1%}", y.seconds,
                     f"{y.second:.1%}", f"{y.second_least:.1%} to {y.second_most:.1%}")
                    for y in answer.yields
                ],
            )
        )  # fmt: skip
    if answer.failures:
        heading(out, "What fails by itself, in an hour")
        out.print(
            table(
                [("process", "left"), ("operation", "left"), ("runs", "right"),
                 ("failed", "right"), ("hours", "right"), ("standard", "right"),
                 ("failures", "right"), ("90 % within", "right")],
                [
                    (f.process, f.operation, f.runs, f.failed, f"{f.hours:.1f}", f.standard,
                     f"{f.rate:.2g}", f"{f.least:.2g} to {f.most:.2g}")
                    for f in answer.failures
                ],
            )
        )  # fmt: skip
    if answer.losses:
        heading(out, "What stays behind of a mix, in grams")
        out.print(
            table(
                [("mix", "left"), ("cups", "right"), ("set aside", "right"),
                 ("standard", "right"), ("noted", "right"), ("usual", "right"),
                 ("90 % within", "right"), ("scatter", "right")],
                [
                    (each.material, each.cups, each.set_aside or None, each.standard_g,
                     None if each.noted_g is None else f"{each.noted_g:.1f}",
                     f"{each.usual_g:.1f}", f"{each.least_g:.1f} to {each.most_g:.1f}",
                     f"{each.spread_g:.1f}")
                    for each in answer.losses
                ],
            )
        )  # fmt: skip


def _changes(out: Console, answer: LearntAnswer) -> None:
    heading(out, "What it would change")
    if not answer.changes:
        out.print("Nothing: no standard is surely wrong by what was noted.")
    for change in answer.changes:
        figures = ", ".join(
            f"{name} {was} to {change.proposed[name]}" for name, was in change.was.items()
        )
        of_what = change.material or f"{change.process}, {change.operation}"
        of = {"yield": "starts", "failures": "runs", "loss": "cups"}.get(change.kind, "timed tasks")
        out.print(
            f"{of_what}: {figures} ({change.evidence} {of}).",
            soft_wrap=True,
        )
    out.print("Nothing is changed by itself: write it into the shop, or leave it.")


def _rows(each: LearntTimeAnswer) -> list[tuple[object, ...]]:
    whole = "all" if each.attended else "by itself"
    rows = [(whole, each.all), *each.by_person.items()]
    return [
        (
            each.process if usual is each.all else "",
            each.operation if usual is each.all else "",
            who,
            usual.tasks,
            f"{each.standard_min:.1f}",
            None if usual.noted_min is None else f"{usual.noted_min:.1f}",
            f"{usual.usual_min:.1f}",
            f"{usual.least_min:.1f} to {usual.most_min:.1f}",
        )
        for who, usual in rows
    ]
