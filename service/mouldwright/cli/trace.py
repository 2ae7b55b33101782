"""The trace and spent commands: where parts come from, and what orders really cost."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, heading, print_json, table, when
from mouldwright.domain.hours.opening import local
from mouldwright.usecases.ledgers import Ledgers
from mouldwright.usecases.present import present
from mouldwright.wire.answers.actual_cost import ActualCostAnswer
from mouldwright.wire.answers.trace import PartLine, PartsAnswer, TraceAnswer


def trace(
    scenario: str,
    serial: str | None,
    *,
    order: str | None,
    mould: str | None,
    material: str | None,
    lot: str | None,
    mix: int | None,
    now: str | None,
    as_json: bool,
) -> None:
    """Print one part's record, or the parts that have something in common."""
    found = _ledgers(scenario, now)
    if serial is not None:
        records = found.records()
        answer = TraceAnswer.of(records, records.part(serial))
        print_json(answer) if as_json else _show_part(console(), found, answer)
        return
    parts = found.parts(order=order, mould=mould, material=material, lot=lot, mix=mix)
    listed = PartsAnswer(parts=[PartLine.of(record) for record in parts])
    if as_json:
        print_json(listed)
        return
    out = console()
    if not listed.parts:
        out.print("The log tells of no such part.")
        return
    out.print(
        table(
            [("serial", "left"), ("part", "left"), ("mould", "left"), ("stands", "left"),
             ("grams", "right"), ("", "left")],
            [
                (each.serial, each.part, each.mould, each.stands, each.mass_g, each.mass_state)
                for each in listed.parts
            ],
        )
    )  # fmt: skip


def spent(scenario: str, order: str, *, now: str | None, as_json: bool) -> None:
    """Print what an order really cost."""
    found = _ledgers(scenario, now)
    answer = ActualCostAnswer.of(found.shop.currency, found.cost(order))
    if as_json:
        print_json(answer)
        return
    out = console()
    heading(out, f"Order {order}: {answer.good} of {answer.quantity} good, {answer.currency}")
    rows: list[tuple[str, str | None, str | None, str | None]] = [
        (group.kind, group.reckoned, group.really, group.over) for group in answer.groups
    ]
    rows.append(("in all", answer.reckoned, answer.really, None))
    columns = [("", "left"), ("reckoned", "right"), ("really", "right"), ("over", "right")]
    out.print(table(columns, rows, total=True))
    if answer.really_each is not None:
        out.print(f"Each good part: {answer.really_each}; reckoned to {answer.reckoned_each}.")
    if answer.scrap is not None and answer.scrapped:
        out.print(f"{answer.scrapped} scrapped, {answer.scrap} of it.")
    if answer.seconds:
        out.print(_seconds_words(answer))
    if not answer.whole:
        out.print(
            f"So far: {answer.in_work} parts are in work, and what is reckoned is for the whole "
            "order."
        )
    heading(out, "What that rests on")
    out.print(
        table(
            [("", "left"), ("", "right"), ("", "left"), ("standard", "right"), ("cost", "right"),
             ("by", "left")],
            [
                (line.text, _figure(line.quantity), line.unit, _figure(line.reckoned), line.amount,
                 line.evidence)
                for line in answer.lines
            ],
        )
    )  # fmt: skip


def _seconds_words(answer: ActualCostAnswer) -> str:
    """Say how many are seconds and what they bring."""
    said = f"Seconds, in no line: {answer.seconds}"
    if answer.seconds_income is None:
        return f"{said}; not every part states a price for them."
    said += f", which bring {answer.seconds_income}."
    if answer.really_each_after is None:
        return said
    return f"{said} All of them sold, a good one costs {answer.really_each_after}."


def _ledgers(scenario: str, now: str | None) -> Ledgers:
    shop = open_shop(scenario)
    at = present(shop, now, clock)
    return Ledgers(shop=shop, plan=None, now=local(at, shop.zone))


def _show_part(out: Console, found: Ledgers, answer: TraceAnswer) -> None:
    shop = found.shop
    title = shop.parts[answer.part].title if answer.part in shop.parts else answer.part
    heading(out, f"{answer.serial}: {title}, {answer.stands}")
    for_whom = f" for {answer.customer}" if answer.customer else ""
    out.print(f"Of order {answer.order}{for_whom}, by {answer.process}.")
    if answer.mould is not None:
        by = f" by {', '.join(answer.pulled_by)}" if answer.pulled_by else ""
        out.print(f"Pull {answer.pull} on {answer.mould}, taken out{by}.")
    for cause in answer.causes:
        out.print(f"{cause['what'].capitalize()}: {cause['cause'] or 'no cause noted'}.")
    for mix in answer.mixes:
        lots = ", ".join(
            f"{lot['amount']} {lot['unit']} of {shop.material_title(lot['material'])}, lot "
            f"{lot['lot'] or 'unknown'}"
            for lot in mix.lots
        )
        beside = f"; with {', '.join(mix.shared_with)}" if mix.shared_with else ""
        out.print(f"{mix.operation.capitalize()} {when(mix.at.isoformat())}: {lots}{beside}.")
    for cure in answer.cures:
        warm = "" if cure.temperature_c is None else f" at {cure.temperature_c} °C"
        known = "" if cure.noted or not warm else " by the season"
        began = None if cure.began is None else when(cure.began.isoformat())
        ended = None if cure.ended is None else when(cure.ended.isoformat())
        out.print(
            f"{cure.operation.capitalize()} from {began or 'nobody noted when'} to "
            f"{ended or 'now'}{warm}{known}."
        )
    weight = answer.weight
    if weight is not None:
        window = f", {weight.state}: {weight.least_g} to {weight.most_g} g pass"
        out.print(f"It weighs {weight.mass_g} g{window if weight.state else ''}.")
    out.print(f"Mass by temperature, of all parts made so. {answer.trend.words}")
    if answer.tests:
        out.print(f"Bent in {', '.join(answer.tests)}.")
    out.print(
        table(
            [("what", "left"), ("from", "right"), ("to", "right"), ("by", "left"), ("", "left")],
            [
                (
                    step.operation,
                    step.began and when(step.began.isoformat()),
                    step.ended and when(step.ended.isoformat()),
                    ", ".join(step.people) or None,
                    None if step.state == "done" else f"{step.state} {step.cause}".strip(),
                )
                for step in answer.steps
            ],
        )
    )


def _figure(number: str | None) -> str | None:
    return None if number is None else f"{float(number):,.2f}"
