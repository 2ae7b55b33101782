"""The quote command."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType
from typing import Any

from rich.console import Console

from mouldwright.cli.odds import show_cost_odds
from mouldwright.cli.opening import clock, finish_by, hurried_by, open_shop
from mouldwright.cli.show import console, heading, print_json, table, when
from mouldwright.cli.writing import write_whole
from mouldwright.domain.costing.price import ON_DELIVERY, ON_ORDERING
from mouldwright.domain.costing.risk import DRAWS
from mouldwright.domain.hours.opening import local
from mouldwright.domain.promise.revision import QuoteFigures, QuoteInputs, QuoteRevision
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import Shop
from mouldwright.usecases.delivering import days_said
from mouldwright.usecases.present import present, wanted_by
from mouldwright.usecases.quoting import quote as quote_part
from mouldwright.usecases.terms_asked import terms_asked
from mouldwright.wire.answers.offer import DeliveryAnswer
from mouldwright.wire.answers.quote import CostLineAnswer, QuoteAnswer


def quote(
    scenario: str,
    part: str,
    process: str | None,
    quantity: int,
    *,
    now: str | None,
    by_rate: bool,
    as_json: bool,
    pdf: str | None = None,
    language: str = "en",
    paper: str = "a4",
    with_odds: bool = False,
    draws: int = DRAWS,
    by: str | None = None,
    agreed: Mapping[str, Any] = MappingProxyType({}),
) -> None:
    """Print a quote and all that made it, or write it to a PDF as its customer reads it.

    ``agreed`` is what ``terms_asked`` takes.
    """
    shop = open_shop(scenario)
    at = present(shop, now, clock)
    wanted = wanted_by(shop, by)
    due = None if wanted is None else local(wanted, shop.zone)
    quoted = quote_part(
        shop,
        part,
        process,
        quantity,
        now=at,
        finish=finish_by(by_rate=by_rate),
        draws=draws if with_odds else 0,
        terms=terms_asked(shop, **agreed),
        due=due,
        hurried=hurried_by(by_rate=by_rate),
    )
    answer = QuoteAnswer.of(shop, quoted)
    if pdf is not None:
        _write_pdf(pdf, shop, quoted, answer, now=at, due=due, language=language, paper=paper)
    if as_json:
        print_json(answer)
    else:
        show_quote(console(), shop, answer)
        if answer.cost_odds is not None:
            show_cost_odds(console(), answer.cost_odds, answer.currency)


def _show_amount(out: Console, answer: QuoteAnswer) -> None:
    """Print the customer's lines and what they add up to."""
    money = answer.currency
    sums = [
        ("Net", None, None, answer.net),
        ("Tax", None, None, answer.tax),
        ("To pay", None, None, answer.gross),
    ]
    if answer.tax_included:
        sums = [
            ("To pay, tax included", None, None, answer.gross),
            ("Tax in it", None, None, answer.tax),
            ("Net", None, None, answer.net),
        ]
    out.print(
        table(
            [
                ("", "left"),
                ("quantity", "right"),
                (f"each {money}", "right"),
                (f"amount {money}", "right"),
            ],
            [
                *(
                    (
                        x.text if x.delivery is None else f"{x.text}, delivery {x.delivery}",
                        f"{x.quantity} {x.unit}",
                        x.rate,
                        x.amount,
                    )
                    for x in answer.lines
                ),
                *sums,
            ],
        )
    )


def _show_ready(out: Console, shop: Shop, answer: QuoteAnswer) -> None:
    """Print when it is ready, each delivery by itself where there are several."""
    if answer.finish:
        odds = (
            ""
            if answer.finish_odds is None
            else (
                f", if the parts begun give enough good ones: a chance of "
                f"{answer.finish_odds * 100:.0f} %"
            )
            if answer.dates is None
            else f", with a chance of {answer.finish_odds * 100:.0f} %"
        )
        behind = len(shop.orders)
        queue = f", behind {behind} booked order{'s' if behind > 1 else ''}" if behind else ""
        out.print(f"Ready to ship: {when(answer.finish)}{queue}{odds}.")
        if answer.dates is not None:
            out.print(
                f"As likely as not by {when(answer.dates.p50)}; 95 times in 100 by "
                f"{when(answer.dates.p95)}."
            )
    else:
        out.print("Ready to ship: no date can be given; see above.")
    for each in answer.deliveries:
        out.print(_delivery_words(each))
    option = answer.rush_option
    if option is not None:
        out.print(
            f"Hurry only what is needed: {option.ready} of {option.quantity} are ready by "
            f"{when(option.by)} without haste; each one hurried costs {answer.currency} "
            f"{option.each} more, all {option.surcharge}."
        )


def _delivery_words(each: DeliveryAnswer) -> str:
    said = f"Delivery {each.number}: {each.quantity}, "
    said += f"ready {when(each.finish)}" if each.finish else "no date can be given"
    if each.due:
        said += f", wanted by {when(each.due)}{', late' if each.late else ''}"
    if each.rush:
        gained = days_said(each.days_sooner) if each.days_sooner else "no day"
        free = "" if each.surcharge else ", charged nothing"
        said += f"; rush, {gained} sooner than at the ordinary pace, {when(each.ordinary)}{free}"
    return f"{said}."


def _show_payments(out: Console, answer: QuoteAnswer) -> None:
    money = answer.currency
    when = [payment.when for payment in answer.payments]
    if when in ([ON_ORDERING], [ON_ORDERING, ON_DELIVERY]):
        out.print(f"Deposit before work starts: {money} {answer.deposit}.")
    elif len(answer.payments) > 1:
        paid = ", ".join(f"{money} {payment.gross} {payment.when}" for payment in answer.payments)
        out.print(f"Paid in parts: {paid}.")
    else:
        out.print("No deposit is asked.")


def _show_seconds(out: Console, answer: QuoteAnswer) -> None:
    """Say what comes out as seconds and what they would bring."""
    found = answer.seconds
    if found is None:
        return
    said = f"Seconds: {found.expected:.2f} on average"
    if found.price_each is None:
        out.print(f"{said}; the part states no price for them.")
        return
    out.print(
        f"{said}, at {answer.currency} {found.price_each} each {answer.currency} {found.income}: "
        f"in no line. All of them sold, a good one costs {found.unit_cost_after}."
    )


def _worked(line: CostLineAnswer, digits: int) -> tuple[str | None, str, str | None]:
    """Return how much of what at which rate, as short as working it anew allows."""
    taken, rate = line.shortly(digits)
    return taken, line.unit, rate


def _write_pdf(
    file: str,
    shop: Shop,
    quoted: Quote,
    answer: QuoteAnswer,
    *,
    now: int,
    due: datetime | None,
    language: str,
    paper: str,
) -> None:
    """Write a quote that is not kept: it has no number, and says so."""
    # Setting on paper takes its time to load; only who asks for a file waits for it.
    from mouldwright.documents.quote_pdf import quote_pdf
    from mouldwright.documents.quote_sheet import quote_sheet
    from mouldwright.documents.setting import paper_of

    made_at = local(now, shop.zone)
    revision = QuoteRevision(
        number=0,
        revision=quoted.revision,
        state="draft",
        inputs=QuoteInputs(
            shop_version=0,
            part=quoted.part,
            process=quoted.process,
            quantity=answer.quantity,
            now=now,
            terms=quoted.terms,
        ),
        figures=QuoteFigures.of(shop, quoted),
        made_at=made_at,
        moved_at=made_at,
        document=answer.model_dump_json(),
        due=due,
    )
    made = quote_pdf(quote_sheet(shop, revision, language=language), paper=paper_of(paper))
    write_whole(made, file, option="--pdf")


def show_quote(out: Console, shop: Shop, answer: QuoteAnswer) -> None:
    """Print a quote: the customer's lines first, then where they come from."""
    by = "" if answer.process is None else f", {shop.process(answer.process).title.lower()}"
    title = (
        shop.sets[answer.part].title if answer.part in shop.sets else (shop.part(answer.part).title)
    )
    heading(out, f"Quote: {answer.quantity} x {title}{by}")
    for note in answer.notes:
        out.print(f"Look here: {note}")
    if answer.notes:
        out.print()
    money = answer.currency
    _show_amount(out, answer)
    _show_payments(out, answer)
    _show_ready(out, shop, answer)
    out.print(f"Stands until {answer.valid_until}.")
    heading(out, "At other quantities")
    if any(line.kind not in ("parts", "top-up", "cancellation") for line in answer.lines):
        out.print("Sent at once at the ordinary pace, before any discount.")
    out.print(
        table(
            [
                ("pieces", "right"),
                ("begun", "right"),
                (f"each {money}", "right"),
                (f"{'with tax' if answer.tax_included else 'net'} {money}", "right"),
            ],
            [
                (b.quantity, b.starts, b.price_each, b.gross if answer.tax_included else b.net)
                for b in answer.breaks
            ],
        )
    )
    for spare in answer.spares:
        out.print(
            f"Spare: {spare.title}, a pack of {spare.pack} by itself at {money} {spare.price_each} "
            f"each: {money} {spare.goods}."
        )
    heading(out, f"Where it comes from: {answer.starts} parts begun for {answer.quantity} good")
    out.print(
        table(
            [
                ("", "left"),
                ("", "left"),
                ("quantity", "right"),
                ("", "left"),
                (f"rate {money}", "right"),
                (f"amount {money}", "right"),
            ],
            [
                *(
                    (c.kind, c.text, *_worked(c, shop.currency.digits), c.amount)
                    for c in answer.cost_lines
                ),
                ("", "Cost of the order", None, "", None, answer.cost_total),
            ],
            total=True,
        )
    )
    out.print(
        f"Cost of one good part: {answer.cost_total} / {answer.quantity} = {answer.unit_cost_fine}."
    )
    _show_seconds(out, answer)
    heading(out, "From the cost to what is paid")
    out.print(
        table(
            [("", "left"), ("worked out", "left"), (f"amount {money}", "right")],
            [(each.what, each.how, each.amount) for each in answer.workings],
        )
    )
    out.print(answer.rounding)
    heading(out, "Every group of cost, for the whole order")
    out.print(
        table(
            [("", "left"), (f"amount {money}", "right"), ("", "left"), ("written in", "left")],
            [
                (c.group, c.amount, "" if c.charged else "not charged", c.written)
                for c in answer.checklist
            ],
        )
    )
    heading(out, "Cautions")
    for caution in answer.cautions:
        out.print(f"- {caution}")
