"""The compare command."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.deflection import said_ranges
from mouldwright.cli.odds import show_odds_beside
from mouldwright.cli.opening import clock, finish_by, open_shop
from mouldwright.cli.show import console, figure, heading, measure, print_json, table, when
from mouldwright.cli.what_changes import aim_of, show_what_changes
from mouldwright.domain.compare import FARTHEST_CHANGE_SAID
from mouldwright.domain.costing.risk import DRAWS
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted, listed
from mouldwright.usecases.enquiry import compare as compare_part
from mouldwright.usecases.enquiry import what_changes
from mouldwright.usecases.present import present, wanted_by
from mouldwright.wire.answers.comparison import (
    ChoiceAnswer,
    ComparisonAnswer,
    RequirementAnswer,
)
from mouldwright.wire.answers.deflection import DeflectionAnswer
from mouldwright.wire.answers.switching import WhatChangesAnswer

_SHOWN_QUANTITIES = (1, 2, 5, 10, 25, 50, 100, 250, 500)
# Where two costs nearly tie, whole mixes and plates make the cheapest swing to and fro.
_MOST_CHANGES_SHOWN = 8


def compare(
    scenario: str,
    part: str,
    quantity: int,
    *,
    by: str | None,
    now: str | None,
    by_rate: bool,
    with_odds: bool = False,
    changes_of: str | None = None,
    as_json: bool,
) -> None:
    """Print the processes for one part side by side."""
    shop = open_shop(scenario)
    at = present(shop, now, clock)
    wanted = wanted_by(shop, by)
    comparison = compare_part(
        shop,
        part,
        quantity,
        now=at,
        finish=finish_by(by_rate=by_rate),
        by=wanted,
        draws=DRAWS if with_odds else 0,
    )
    answer = ComparisonAnswer.of(shop, comparison)
    if changes_of is not None:
        changes = what_changes(shop, part, quantity, now=at, aim=aim_of(changes_of), by=wanted)
        answer.what_changes = WhatChangesAnswer.of(shop, changes)
    if as_json:
        print_json(answer)
    else:
        show_comparison(console(), shop, answer)
        if with_odds:
            show_odds_beside(console(), answer)
        if answer.what_changes is not None:
            show_what_changes(console(), answer.what_changes)


def show_comparison(out: Console, shop: Shop, answer: ComparisonAnswer) -> None:
    """Print a comparison as tables."""
    part = shop.part(answer.part)
    heading(out, f"{part.title}: {answer.quantity} good ones, by each process")
    asked = answer.requirement
    if asked is not None:
        out.print(
            f"Asked: {asked.support}, {_load(answer, asked)}, no more than "
            f"{asked.deflection_mm:g} mm."
        )
    # Two tables, so that a terminal of eighty columns shows every figure.
    out.print(
        table(
            [
                ("process", "left"),
                ("", "left"),
                ("bends mm", "right"),
                ("mass g", "right"),
                ("begun", "right"),
                ("moulds", "right"),
                ("good a day", "right"),
            ],
            [
                (
                    c.process,
                    _verdict(c),
                    measure(c.deflection_mm),
                    figure(c.mass_g, 0),
                    c.starts,
                    c.moulds or None,
                    figure(c.good_per_day),
                )
                for c in answer.choices
            ],
        )
    )
    out.print()
    out.print(
        table(
            [
                ("process", "left"),
                (f"cost {answer.currency}", "right"),
                (f"price {answer.currency}", "right"),
                ("hands h", "right"),
                ("ready", "right"),
            ],
            [
                (
                    c.process,
                    c.unit_cost if not c.unknown else "unknown",
                    c.price_each,
                    figure(c.people_hours),
                    when(c.finish),
                )
                for c in answer.choices
            ],
        )
    )
    for c in answer.choices:
        for reason in (*c.unknown, *c.judgement.reasons):
            out.print(f"{c.process}: {reason}")
        for warning in c.judgement.warnings:
            out.print(f"{c.process}: {warning}")
        if c.judgement.mass_range_g is not None:
            out.print(f"{c.process}: {_ranged(c.judgement)}")
        if c.judgement.counted is not None and c.judgement.counted.by == "tests":
            out.print(f"{c.process}: {tested(c.judgement)}")
    show_would_pass(out, answer)
    heading(out, "What to take")
    out.print(answer.recommended.why)
    if any(c.meets_requirement is False for c in answer.choices) and answer.winners:
        out.print("Of those that pass:")
    for winner in answer.winners:
        out.print(f"  {winner.aim}: {winner.process}")
    if answer.unbeaten:
        out.print(f"  no other beats on every count: {', '.join(answer.unbeaten)}")
    near = [s for s in answer.recommended.switching if abs(s.change) <= FARTHEST_CHANGE_SAID]
    if near:
        heading(out, "How near the choice is")
        out.print(
            table(
                [("if alone", "left"), ("moved by %", "right"), ("then", "left")],
                [(s.driver, f"{s.change * 100:+.0f}", s.instead) for s in near[:6]],
            )
        )
    if answer.unit_costs:
        heading(out, f"Cost of one good part, {answer.currency}, of those that pass")
        processes = list(answer.unit_costs)
        changes = [c.from_quantity for c in answer.crossovers]
        shown = sorted({*_SHOWN_QUANTITIES, *changes[:_MOST_CHANGES_SHOWN]})
        out.print(
            table(
                [("pieces", "right"), *((p, "right") for p in processes), ("cheapest", "left")],
                [
                    (q, *(answer.unit_costs[p][q - 1] for p in processes), _cheapest(answer, q))
                    for q in shown
                    if all(q <= len(costs) for costs in answer.unit_costs.values())
                ],
            )
        )

        if len(changes) > _MOST_CHANGES_SHOWN:
            out.print(
                f"The cheapest changes {len(changes) - 1} times up to 500 pieces, so near are the "
                f"costs; --json lists every change."
            )


def _ranged(judged: DeflectionAnswer) -> str:
    """Return how far a way may bend and what it may weigh, as its materials may be."""
    said = []
    if judged.deflection_range_mm is not None:
        said.append("bend {} to {} mm".format(*map(fitted, judged.deflection_range_mm)))
    if judged.mass_range_g is not None:
        said.append("weigh {} to {} g".format(*map(fitted, judged.mass_range_g)))
    return f"it may {listed(said)}, as these may be: {said_ranges(judged)}."


def _load(answer: ComparisonAnswer, asked: RequirementAnswer) -> str:
    """Return the force asked, and what makes it where it comes from a flow."""
    stated = "its load from speed" if asked.force_n is None else f"{asked.force_n:g} N"
    loads = [c.judgement.load for c in answer.choices if c.judgement.load is not None]
    if not loads:
        return f"{stated} ({asked.load})"
    load = loads[0]
    force = f"{fitted(load.force_n)} N" if asked.force_n is None or load.factor != 1 else stated
    words = f"{force} ({asked.load})"
    if load.factor != 1:
        words += f", safety factor {load.factor:g} in it"
    if load.lift_coefficient is not None and load.plan_area_mm2 is not None:
        words += (
            f", from {load.dynamic_pressure_pa:,.0f} Pa on {load.plan_area_mm2:,.0f} mm2 at a lift "
            f"coefficient of {load.lift_coefficient:.3f}"
        )
    if load.lift_rule is not None:
        words += f" ({load.angle_deg:g} deg at an aspect ratio of {load.aspect_ratio:.2f}, "
        words += f"{load.lift_rule})"
    return words


def show_would_pass(out: Console, answer: ComparisonAnswer) -> None:
    """Print what would make each process pass that fails, cheapest first."""
    for c in answer.choices:
        if not c.would_pass:
            continue
        heading(out, f"What would make {c.process} pass, one change alone")
        out.print(
            table(
                [
                    ("change", "left"),
                    ("from, to", "left"),
                    ("bends mm", "right"),
                    ("g", "right"),
                    (answer.currency, "right"),
                    ("h", "right"),
                ],
                [
                    (
                        f"{w.lever}{', moulds anew' if w.new_moulds else ''}",
                        f"{w.was} to {w.becomes}",
                        measure(w.deflection_mm),
                        _more(w.mass_change_g),
                        None if w.unit_cost_change is None else _more(float(w.unit_cost_change), 2),
                        _more(w.lead_change_hours),
                    )
                    for w in c.would_pass
                ],
            )
        )
        for w in c.would_pass:
            if w.tests_lost:
                out.print(
                    f"With a {w.lever} of {w.becomes} the part is shorter, whichever way it is "
                    f"made, than these bench tests were made at: {', '.join(w.tests_lost)}."
                )


def _more(change: float | None, decimals: int = 1) -> str | None:
    if change is None:
        return None
    return f"{change:+.{decimals}f}" if round(change, decimals) else "same"


def tested(judged: DeflectionAnswer) -> str:
    """Return how bench tests moved a deflection."""
    held = judged.counted
    assert held is not None
    words = f"{held.share:.2f} of theory is counted on after {held.tests} bench tests"
    if judged.deflection_mm is None or judged.theory_deflection_mm is None:
        return f"{words}."
    return (
        f"{words}, so {fitted(judged.deflection_mm)} mm; by theory alone, at "
        f"{held.theory_share:g}, it would be {fitted(judged.theory_deflection_mm)} mm."
    )


def _verdict(choice: ChoiceAnswer) -> str:
    if not choice.makeable:
        return "cannot be made"
    return {True: "passes", False: "fails", None: "nothing asked"}[choice.meets_requirement]


def _cheapest(answer: ComparisonAnswer, quantity: int) -> str:
    held = [c.process for c in answer.crossovers if c.from_quantity <= quantity]
    return held[-1] if held else ""
