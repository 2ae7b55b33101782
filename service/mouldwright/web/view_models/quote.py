"""A quote's sheet: what was promised in one revision, and where the quote stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from itertools import pairwise
from zoneinfo import ZoneInfo

from mouldwright.domain.costing.price import ON_ORDERING
from mouldwright.domain.promise.quote_state import is_past
from mouldwright.domain.promise.revision import QuoteRevision, differences
from mouldwright.domain.shop import Shop
from mouldwright.usecases.quoting import FAILS
from mouldwright.web.view_models.agreed import (
    Agreed,
    DeliveryRow,
    agreed_of,
    delivery_rows,
    rush_words,
    spare_words,
)
from mouldwright.web.view_models.cost import CostView, WorkingRow, frozen_cost, working_rows
from mouldwright.web.view_models.may_cost import MayCost, may_cost_of
from mouldwright.web.words import (
    CHECKED,
    CHECKED_AT,
    QUOTE_STATES,
    amount,
    at_minute,
    day,
    day_and_year,
    exact_percent,
    long_day,
    moment,
    money,
    odds,
)
from mouldwright.wire.answers.quote import (
    PaymentAnswer,
    QuoteAnswer,
    QuoteLineAnswer,
)

# What the first payment is called where it is a plain deposit.
DEPOSIT = "Deposit on ordering"


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionRow:
    """A revision among the others; ``changes`` is what differs from the one before."""

    revision: int
    made: str
    state: str
    shown: bool
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteView:
    """One revision.

    Attributes:
        seen: What a form says was seen, so that nothing is done to what changed meanwhile.
        amounts: Title and amount, and whether the row is a sum.
        breaks: Pieces, each, net, and whether it is the quantity quoted.
        breaks_notes: Sentences on what may surprise in them.
        maker: The shop's name, address, contact and tax number, a line each.
        mark_path: Where its mark of that day is; empty where it had none.
        workings: Every sum from the cost of one to the last payment.
        rounding: How each of them is rounded.
        checklist: Each group of cost, its amount, whether it is charged, where it is written.
        fails: The notes that say it does not bear what is asked of it.
        is_newest: Whether it is the revision that counts.
        tax_words: Whether prices are before tax or with it.
        deliveries: Each with its date, where there are several or one is hurried.
        rush_option: What hurrying fewer would cost, a sentence; empty where nothing is hurried.
        agreed: What was agreed beside part and quantity, as it would be typed.
        spares: What a pack of each spare costs by itself, a sentence each.
        address: Lines of the customer's address.
    """

    number: int
    revision: int
    state: str
    state_word: str
    seen: str
    is_newest: bool
    tax_words: str
    offer: str
    what: str
    by: str
    customer: str
    made: str
    until: str
    is_past: bool
    address: tuple[str, ...]
    deliveries: tuple[DeliveryRow, ...]
    rush_option: str
    agreed: Agreed
    spares: tuple[str, ...]
    wanted: str
    is_late: bool
    due: str
    ready: str
    kept: str
    currency: str
    quantity: int
    process: str
    lines: tuple[tuple[str, str, str], ...]
    amounts: tuple[tuple[str, str, bool], ...]
    breaks: tuple[tuple[str, str, str, bool], ...]
    breaks_notes: tuple[str, ...]
    maker: tuple[str, ...]
    mark_path: str
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    fails: tuple[str, ...]
    cost: CostView
    workings: tuple[WorkingRow, ...]
    rounding: str
    checklist: tuple[tuple[str, str, bool, str], ...]
    may_cost: MayCost | None
    revisions: tuple[RevisionRow, ...]
    shop_version: int


def title_of(shop: Shop, key: str) -> str:
    """Return a part's or set's title; its key where the shop no longer has it."""
    found = shop.parts.get(key) or shop.sets.get(key)
    return found.title if found else key


def way_of(shop: Shop, process: str | None) -> str:
    """Return a process's title; its key where the shop no longer has it."""
    if process is None:
        return "as the set says"
    found = shop.processes.get(process)
    return found.title if found else process


def quote_view(
    shop: Shop,
    shown: QuoteRevision,
    revisions: tuple[QuoteRevision, ...],
    *,
    today: date,
    mark_path: str,
) -> QuoteView:
    """Return the sheet of a revision.

    Args:
        shop: As it was when the revision was made.
        shown: The revision.
        revisions: All of the quote, the first first.
        today: By the shop's clocks.
        mark_path: Where the shop's mark of that day is shown.
    """
    answer = QuoteAnswer.model_validate_json(shown.document)
    figures, inputs = shown.figures, shown.inputs
    code = figures.currency
    return QuoteView(
        number=shown.number,
        revision=shown.revision,
        state=shown.state,
        state_word=QUOTE_STATES[shown.state],
        seen=seen_of(shown),
        is_newest=shown.revision == revisions[-1].revision,
        tax_words="Tax included" if answer.tax_included else "Before tax",
        offer=f"{inputs.quantity:,} for "
        + money(code, figures.gross if answer.tax_included else figures.net),
        what=title_of(shop, inputs.part),
        by=way_of(shop, inputs.process),
        customer=shown.customer,
        made=long_day(local_at(shown.made_at, figures.zone)),
        until=long_day(figures.valid_until),
        is_past=is_past(figures.valid_until, today),
        address=shown.address,
        deliveries=delivery_rows(answer),
        rush_option=rush_words(answer),
        agreed=agreed_of(shop, inputs.part, inputs.terms, figures.zone),
        spares=spare_words(answer),
        wanted=day_and_year(local_at(shown.due, figures.zone)) if shown.due else "",
        is_late=bool(
            shown.due
            and figures.finish is not None
            and at_minute(figures.finish, figures.zone) > shown.due
        ),
        due=local_at(shown.due, figures.zone).date().isoformat() if shown.due else "",
        ready="" if figures.finish is None else long_day(at_minute(figures.finish, figures.zone)),
        kept=_kept(answer, figures.zone),
        currency=code,
        quantity=inputs.quantity,
        process=inputs.process or "",
        lines=tuple(
            (_line_text(line), amount(code, line.rate), amount(code, line.amount))
            for line in answer.lines
        ),
        amounts=_amounts(shown, answer, shop.price.tax_rate),
        breaks=tuple(
            (
                f"{each.quantity:,}",
                amount(code, each.price_each),
                amount(code, each.gross if answer.tax_included else each.net),
                each.quantity == inputs.quantity,
            )
            for each in answer.breaks
        ),
        breaks_notes=_breaks_notes(shop, answer),
        maker=maker_of(shop),
        mark_path=mark_path if shop.mark else "",
        cautions=tuple(answer.cautions),
        notes=tuple(answer.notes),
        fails=tuple(note for note in answer.notes if FAILS in note),
        cost=frozen_cost(answer),
        workings=working_rows(answer),
        rounding=answer.rounding,
        checklist=tuple(
            (
                CHECKED.get(each.group, each.group),
                amount(code, each.amount),
                each.charged,
                CHECKED_AT.get(each.group, each.written),
            )
            for each in answer.checklist
        ),
        may_cost=may_cost_of(answer),
        revisions=_revisions(shop, revisions, shown),
        shop_version=inputs.shop_version,
    )


def _kept(answer: QuoteAnswer, zone: str) -> str:
    """Return how likely the promised day is, in a sentence.

    A day is promised: where the last of 95 in 100 falls on it too, that is the chance of the day.
    """
    if answer.dates is None:
        return f"The chance of enough good parts by then is {odds(answer.finish_odds)}."
    kept = f"The chance of that day is {odds(answer.finish_odds)}"
    if answer.dates.p95 is None or answer.finish is None:
        return f"{kept}."
    latest, promised = (
        datetime.fromisoformat(at).astimezone(ZoneInfo(zone))
        for at in (answer.dates.p95, answer.finish)
    )
    if latest.date() <= promised.date():
        least = max(0.95, answer.finish_odds or 0.0)
        return f"The chance of that day is at least {odds(least)}."
    return f"{kept}; 95 in 100 that it is ready by {day(latest)}."


def maker_of(shop: Shop) -> tuple[str, ...]:
    """Return who makes the offer, a line each; the name alone where nothing more is written."""
    number = (f"Tax number {shop.tax_number}",) if shop.tax_number else ()
    return (shop.name, *shop.address, *shop.contact, *number)


def _breaks_notes(shop: Shop, answer: QuoteAnswer) -> tuple[str, ...]:
    """Say why a quantity is topped up, and why more pieces may cost more each."""
    notes = []
    with_tax = answer.tax_included
    if any(
        Decimal(b.price_each) * b.quantity < Decimal(b.gross if with_tax else b.net)
        for b in answer.breaks
    ):
        least = money(shop.currency, shop.price.least_order)
        before = "" if with_tax else " before tax"
        notes.append(f"An order of less than {least}{before} is topped up to it.")
    each = [Decimal(b.price_each) for b in answer.breaks]
    if any(later > earlier for earlier, later in pairwise(each)):
        notes.append(
            "A few more pieces can cost more each: spare ones are begun so that enough come out "
            "good, and moulds and mixes are taken whole."
        )
    notes += [
        f"{each.quantity:,} cost more in all than {each.instead:,}, which come to "
        f"{money(shop.currency, each.instead_amount)}."
        for each in answer.inversions
    ]
    if {line.kind for line in answer.lines} - {"parts", "top-up", "cancellation"}:
        notes.append("Sent at once at the ordinary pace, before any discount.")
    return tuple(notes)


def _line_text(line: QuoteLineAnswer) -> str:
    text = line.text
    if line.unit != "order":
        packs = "" if line.unit == "piece" else f" {line.unit}"
        text = f"{Decimal(line.quantity).normalize():,f}{packs} × {line.text}"
    return text if line.delivery is None else f"{text}, delivery {line.delivery}"


def seen_of(revision: QuoteRevision) -> str:
    """Return the mark of a revision as it stands."""
    return f"{revision.revision} {revision.state}"


def local_at(instant: datetime, zone: str) -> datetime:
    """Return an instant as the shop's clocks show it."""
    return at_minute(int(instant.timestamp() // 60), zone)


def _amounts(
    shown: QuoteRevision, answer: QuoteAnswer, tax_rate: Decimal
) -> tuple[tuple[str, str, bool], ...]:
    figures = shown.figures
    code = figures.currency
    tax, net = f"Tax, {exact_percent(tax_rate)}", ("Net", figures.net, True)
    rows = [net, (tax, figures.tax, False), ("To pay", figures.gross, True)]
    if answer.tax_included:
        rows = [("To pay", figures.gross, True), (f"{tax}, in it", figures.tax, False), net]
    if len(answer.payments) > 1:
        rows += [(_due(each), Decimal(each.gross), False) for each in answer.payments]
    return tuple((title, amount(code, value), is_sum) for title, value, is_sum in rows)


def _due(payment: PaymentAnswer) -> str:
    share = exact_percent(Decimal(payment.share))
    if payment.when == ON_ORDERING:
        return f"{DEPOSIT}, {share}"
    return f"{payment.when[:1].upper()}{payment.when[1:]}, {share}"


def _revisions(
    shop: Shop, revisions: tuple[QuoteRevision, ...], shown: QuoteRevision
) -> tuple[RevisionRow, ...]:
    things = (shop.parts, shop.sets, shop.processes)
    titles = {key: each.title for table in things for key, each in table.items()}
    rows = []
    for at, each in enumerate(revisions):
        changes = differences(revisions[at - 1], each, titles) if at else ()
        rows.append(
            RevisionRow(
                revision=each.revision,
                made=moment(local_at(each.made_at, each.figures.zone)),
                state=QUOTE_STATES[each.state],
                shown=each.revision == shown.revision,
                changes=changes,
            )
        )
    return tuple(reversed(rows))
