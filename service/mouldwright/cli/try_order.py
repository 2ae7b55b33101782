"""The try command: what if we said yes to this order?"""

from __future__ import annotations

from datetime import datetime

from rich.console import Console

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, heading, print_json, span, table, when
from mouldwright.cli.watching import watched
from mouldwright.domain.shown import worked
from mouldwright.usecases.present import present
from mouldwright.usecases.try_order import try_order as try_order_of
from mouldwright.usecases.try_order import wanted_of
from mouldwright.wire.answers.gains import OrderShiftAnswer
from mouldwright.wire.answers.tried_order import TriedOptionAnswer, TriedOrderAnswer


def try_order(
    scenario: str,
    part: str,
    process: str | None,
    quantity: int,
    *,
    by: str | None,
    now: str | None,
    seconds: float,
    options: bool,
    as_json: bool,
) -> None:
    """Print when one more order would be ready, which promises would move, and the options."""
    shop = open_shop(scenario)
    with watched() as watch:
        tried = try_order_of(
            shop,
            wanted_of(shop, part=part, process=process, quantity=quantity, by=by),
            now=present(shop, now, clock),
            seconds=seconds,
            options=options,
            progress=watch.told,
            cancelled=lambda: watch.stopped,
        )
    answer = TriedOrderAnswer.of(tried)
    if as_json:
        print_json(answer)
        return
    out = console()
    heading(out, f"If {quantity} x {part} were accepted")
    late = f", {span(answer.late_min)} late" if answer.late_min else ""
    wanted = f", wanted by {when(answer.due.isoformat())}" if answer.due else ""
    out.print(f"Ready {when(answer.finish.isoformat())}{wanted}{late}. {answer.starts} begun.")
    if answer.chance is not None:
        out.print(f"{answer.chance:.0%} of the runs of the plan meet the date.")
    if answer.promise is not None:
        out.print(
            f"It may be promised for {when(answer.promise.isoformat())}"
            f"{_kept(answer.promise_chance)}."
        )
    if answer.quote_promise is not None:
        out.print(
            f"A quote promises it for {when(answer.quote_promise.isoformat())}"
            f"{_kept(answer.quote_promise_chance)} of its own plan. {answer.quote_differs}"
        )
    if answer.because:
        out.print(f"What keeps it longest: {answer.because}.")
    for words in answer.moulds:
        out.print(f"Moulds: {words}")
    for words in answer.arrivals:
        out.print(words)
    if answer.net is not None:
        out.print(f"A quote asks {answer.currency} {answer.net}, {answer.price_each} each.")
    for reason in answer.unpriced:
        out.print(f"No price: {reason}")
    _show_shifts(out, answer.orders)
    out.print(f"{answer.kept} tasks stay as planned, {answer.moved} move. Nothing is kept of this.")
    if answer.options is not None:
        _show_options(out, answer, answer.options)


def _kept(chance: float | None) -> str:
    return "" if chance is None else f", kept in {chance:.0%} of the runs"


def _show_shifts(out: Console, orders: list[OrderShiftAnswer]) -> None:
    if not orders:
        out.print("No other order's date moves.")
        return
    rows = [
        (
            order.number,
            when(order.before.isoformat()),
            when(order.after.isoformat()),
            span(order.late_after_min),
        )
        for order in orders
    ]
    columns = [("order", "left"), ("ready", "right"), ("would be", "right"), ("late", "right")]
    out.print(table(columns, rows))


def _show_options(out: Console, answer: TriedOrderAnswer, options: list[TriedOptionAnswer]) -> None:
    heading(out, "Other ways to take it, the best first")
    planned = [option for option in options if not option.refused]
    if planned:
        rows = [
            (
                option.title,
                None if option.finish is None else when(option.finish.isoformat()),
                span(option.late_min),
                None if option.chance is None else f"{option.chance:.0%}",
                option.net,
                option.cost_more,
            )
            for option in planned
        ]
        columns = [
            ("", "left"),
            ("all ready", "right"),
            ("late", "right"),
            ("in time", "right"),
            (f"price {answer.currency}", "right"),
            ("costs more", "right"),
        ]
        out.print(table(columns, rows))
    for option in planned:
        out.print(f"{option.title}: {'; '.join(_told(option))}.")
    for option in options:
        if option.refused:
            out.print(f"Not by {option.title}: {'; '.join(option.refused)}")
    if not options:
        out.print("None was found.")
    if answer.left_out:
        out.print(f"{answer.left_out} were not tried before it was stopped.")


def _likely(what: str, promise: datetime | None) -> list[str]:
    return [] if promise is None else [f"{what} may be promised for {when(promise.isoformat())}"]


def _told(option: TriedOptionAnswer) -> list[str]:
    """Return what else there is to know of an option, in clauses."""
    said = [option.note] if option.note else []
    if option.first is not None and option.first_finish is not None:
        said.append(f"the first {option.first} ready {when(option.first_finish.isoformat())}")
        if option.chance is not None:
            said.append(f"by the date in {option.chance:.0%} of the runs")
        said += _likely(f"the first {option.first}", option.first_promise)
        said += _likely("the rest", option.promise)
    else:
        said += _likely("it", option.promise)
    if option.used_min:
        said.append(f"{worked(option.used_min)} of hands in it")
    said.append(f"costs more by {option.cost_words}" if option.cost_more else "costs no more")
    moved = [
        f"order {shift.number} to {when(shift.after.isoformat())}"
        + (f", {span(shift.late_after_min)} late" if shift.late_after_min else "")
        for shift in option.orders
    ]
    said.append(f"moves {', '.join(moved)}" if moved else "moves no other date")
    return said
