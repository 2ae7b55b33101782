"""What one more of something would buy, and how many moulds an order wants, on the terminal."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, heading, print_json, span, table, when
from mouldwright.cli.watching import watched
from mouldwright.domain.shown import worked
from mouldwright.usecases.one_more import Effort
from mouldwright.usecases.one_more import mould_count as mould_count_of
from mouldwright.usecases.one_more import one_more as one_more_of
from mouldwright.usecases.present import present
from mouldwright.wire.answers.gains import GainAnswer, LateOrderAnswer, MouldCountAnswer
from mouldwright.wire.answers.gains import OneMoreAnswer as Answer


def one_more(scenario: str, *, now: str | None, seconds: float, seed: int, as_json: bool) -> None:
    """Print what one more of each thing would buy."""
    shop = open_shop(scenario)
    with watched() as watch:
        found = one_more_of(
            shop,
            now=present(shop, now, clock),
            effort=Effort(seconds=seconds, seed=seed),
            progress=watch.told,
            cancelled=lambda: watch.stopped,
        )
    answer = Answer.of(found, shop.currency)
    if as_json:
        print_json(answer)
        return
    out = console()
    heading(out, "What one more would buy, the most first")
    helping = [gain for gain in answer.gains if _helps(gain)]
    if helping:
        rows = [
            (
                gain.title,
                span(gain.late_gain_min),
                span(gain.finish_gain_min),
                span(gain.sooner_min),
                gain.cost,
            )
            for gain in helping
        ]
        columns = [
            ("", "left"),
            ("less late", "right"),
            ("last sooner", "right"),
            ("all sooner", "right"),
            (f"cost {answer.currency}", "right"),
        ]
        out.print(table(columns, rows))
    for gain in helping:
        if gain.note:
            out.print(f"{gain.title}: {gain.note}.")
        if gain.used_min:
            out.print(f"{gain.title}: {worked(gain.used_min)} of hands in it.")
    idle = [gain.title for gain in answer.gains if not _helps(gain)]
    if idle:
        out.print(f"No gain was found from: {'; '.join(idle)}.")
    if answer.tried < answer.changes:
        out.print(f"Stopped after {answer.tried} of {answer.changes}.")
    for order in answer.late:
        _show_late(out, order, answer.currency)
    out.print("Lateness, and what is sooner of all orders together, counts by their weights.")


def moulds(
    scenario: str,
    order: str,
    *,
    now: str | None,
    most: int | None,
    seconds: float,
    seed: int,
    as_json: bool,
) -> None:
    """Print how many moulds an order wants."""
    shop = open_shop(scenario)
    with watched() as watch:
        found = mould_count_of(
            shop,
            order,
            now=present(shop, now, clock),
            effort=Effort(seconds=seconds, seed=seed),
            most=most,
            progress=watch.told,
            cancelled=lambda: watch.stopped,
        )
    answer = MouldCountAnswer.of(found, shop.currency)
    if as_json:
        print_json(answer)
        return
    out = console()
    heading(out, f"Moulds {answer.family} for order {answer.order}")
    rows = [
        (
            tried.moulds,
            tried.new or None,
            when(tried.finish.isoformat()),
            span(tried.late_min),
            tried.tooling,
            tried.work,
            tried.cost,
        )
        for tried in answer.counts
    ]
    out.print(
        table(
            [
                ("moulds", "right"),
                ("new", "right"),
                ("ready", "right"),
                ("late", "right"),
                (f"moulds {answer.currency}", "right"),
                (f"hands {answer.currency}", "right"),
                ("together", "right"),
            ],
            rows,
        )
    )
    out.print(_advice(answer))


_AT_HAND = "at hand, so at no more cost, the fewest that are soonest"


def _advice(answer: MouldCountAnswer) -> str:
    many = "mould" if answer.advised == 1 else "moulds"
    wanted = "" if answer.by is None else f", wanted by {when(answer.by.isoformat())}"
    if answer.meets is False:
        said = f"No count meets the date{wanted}; {answer.advised} {many} come nearest."
    else:
        met = " that meets the date" if answer.meets else ""
        least = "the least cost" if answer.advised > answer.at_hand else _AT_HAND
        said = f"Take {answer.advised} {many}: {least}{met}{wanted}."
    return f"{said} {answer.at_hand} are at hand. No more were tried: {answer.stops}."


def _show_late(out: Console, order: LateOrderAnswer, currency: str) -> None:
    heading(out, f"Order {order.number} is {span(order.late_min)} late")
    out.print(f"Because {order.because}.")
    rows = [
        (
            option.title,
            span(option.sooner_min),
            span(option.late_min) or "in time",
            option.cost,
            worked(option.used_min),
        )
        for option in order.options
    ]
    if rows:
        out.print(
            table(
                [
                    ("what could be done", "left"),
                    ("sooner", "right"),
                    ("still late", "right"),
                    (f"cost {currency}", "right"),
                    ("hands", "right"),
                ],
                rows,
            )
        )


def _helps(gain: GainAnswer) -> bool:
    return (gain.late_gain_min, gain.finish_gain_min, gain.sooner_min) > (0, 0, 0)
