"""An order tried before it is accepted, as a sheet shows it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from urllib.parse import urlencode

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting, worked
from mouldwright.web.words import count, moment, money
from mouldwright.wire.answers.tried_order import TriedOptionAnswer, TriedOrderAnswer


@dataclass(frozen=True, slots=True, kw_only=True)
class TryForm:
    """What is asked.

    Attributes:
        made: Part and process with a stroke between, as it is chosen.
        choices: What may be chosen, by its value.
    """

    made: str
    part: str
    process: str
    quantity: str
    by: str
    choices: tuple[tuple[str, str], ...]

    def whole_quantity(self) -> int:
        """Return the quantity. Raises InvalidInput where it is no whole number."""
        text = self.quantity.replace(",", "").strip()
        if not (text.isascii() and text.isdigit() and len(text) <= 7):
            raise InvalidInput(
                [
                    Fault(
                        path="quantity",
                        value=self.quantity,
                        problem="that is no whole number.",
                        remedy="Write how many good ones are wanted, such as 12.",
                    )
                ]
            )
        return int(text)


def try_path(*, part: str, process: str | None, quantity: int | str, by: str | None) -> str:
    """Return where an order is tried, below the shop's own path."""
    asked = {"made": f"{part}/{process or ''}", "quantity": str(quantity), "by": by or ""}
    return f"try?{urlencode(asked)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedView:
    """What accepting would come to.

    Attributes:
        rows: Orders whose date moves: number, ready, would be, late.
        at_risk: Whether any of them would be late that is not, or later than it is.
        quoted: What a quote promises and why, where that is another minute; else empty.
        moulds: Moulds it counts on that are not there yet, in sentences.
    """

    ready: str
    is_late: bool
    because: str
    rows: tuple[tuple[str, str, str, str], ...]
    at_risk: bool
    stays: str
    price: str
    chance: str
    promise: str
    quoted: str
    part: str
    quantity: int
    by: str
    moulds: tuple[str, ...]
    arrivals: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionRow:
    """One other way to take the order.

    Attributes:
        told: What else there is to know, in sentences.
        moves: What it would do to other orders' dates.
        is_late: Whether it, or a promise, would be late.
    """

    title: str
    ready: str
    late: str
    chance: str
    price: str
    cost: str
    told: tuple[str, ...]
    moves: str
    is_late: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionsView:
    """The other ways to take the order, and those that cannot be: title and why."""

    rows: tuple[OptionRow, ...]
    refused: tuple[tuple[str, str], ...]
    partly: str


def try_form(shop: Shop, *, made: str, quantity: str, by: str) -> TryForm:
    """Return the form with what may be chosen: every part by every process, and every set."""
    choices = [
        (f"{part.key}/{process}", f"{part.title}, {shop.processes[process].title.lower()}")
        for part in shop.parts.values()
        for process in part.made_by
        if process in shop.processes
    ]
    choices += [(f"{kit.key}/", kit.title) for kit in shop.sets.values()]
    part, _, process = made.partition("/")
    return TryForm(
        made=made,
        part=part,
        process=process,
        quantity=quantity,
        by=by,
        choices=tuple(choices),
    )


def tried_view(answer: TriedOrderAnswer) -> TriedView:
    """Return the sheet's part on an order that was tried."""
    ready = f"Ready {moment(answer.finish)}"
    if answer.late_min:
        ready += f", {lasting(answer.late_min)} late"
    elif answer.due is not None:
        ready += ", in time"
    worse = [o for o in answer.orders if o.late_after_min > o.late_before_min]
    moved = f"{count(answer.moved, 'task')} would move" if answer.moved else "none would move"
    return TriedView(
        ready=f"{ready}.",
        is_late=answer.late_min > 0,
        because=answer.because,
        rows=tuple(
            (
                order.number,
                moment(order.before),
                moment(order.after),
                lasting(order.late_after_min) if order.late_after_min else "in time",
            )
            for order in answer.orders
        ),
        at_risk=bool(worse),
        price=f"A quote asks {money(answer.currency, answer.net)}, "
        f"{money(answer.currency, answer.price_each)} each."
        if answer.net is not None and answer.price_each is not None
        else " ".join(f"No price: {reason}" for reason in answer.unpriced),
        chance=_chance(answer.chance),
        promise=_promise(answer),
        quoted=_quoted(answer),
        stays=f"{count(answer.kept, 'planned task')} would stay where they stand; {moved}.",
        part=answer.part,
        quantity=answer.quantity,
        by="" if answer.due is None else answer.due.date().isoformat(),
        moulds=tuple(answer.moulds),
        arrivals=tuple(answer.arrivals),
    )


def _promise(answer: TriedOrderAnswer) -> str:
    if answer.promise is None:
        return ""
    return f"It may be promised for {moment(answer.promise)}{_kept(answer.promise_chance)}."


def _quoted(answer: TriedOrderAnswer) -> str:
    if answer.quote_promise is None:
        return ""
    kept = _kept(answer.quote_promise_chance)
    own = f"{kept} of its own plan" if kept else ""
    return f"A quote promises it for {moment(answer.quote_promise)}{own}. {answer.quote_differs}"


def _kept(chance: float | None) -> str:
    return "" if chance is None else f", kept in {chance:.0%} of the runs"


def options_view(answer: TriedOrderAnswer) -> OptionsView:
    """Return the sheet's part on the other ways to take the order."""
    options = answer.options or []
    return OptionsView(
        rows=tuple(_row(option, answer.currency) for option in options if not option.refused),
        refused=tuple((o.title, "; ".join(o.refused)) for o in options if o.refused),
        partly=f"{count(answer.left_out, 'way')} not tried before it was stopped."
        if answer.left_out
        else "",
    )


def _row(option: TriedOptionAnswer, currency: str) -> OptionRow:
    told = [option.note[:1].upper() + option.note[1:] + "."] if option.note else []
    if option.first is not None and option.first_finish is not None:
        by = "" if option.chance is None else f", by the date in {option.chance:.0%} of the runs"
        told.append(f"The first {option.first} ready {moment(option.first_finish)}{by}.")
        told += _likely(f"The first {option.first}", option.first_promise)
        told += _likely("The rest", option.promise)
    else:
        told += _likely("It", option.promise)
    if option.used_min:
        told.append(f"{worked(option.used_min)} of hands in it.")
    if option.cost_more is not None:
        told.append(f"The cost: {option.cost_words}.")
    moves = [
        f"{shift.number} to {moment(shift.after)}"
        + (f", {lasting(shift.late_after_min)} late" if shift.late_after_min else "")
        for shift in option.orders
    ]
    broken = any(shift.late_after_min > shift.late_before_min for shift in option.orders)
    return OptionRow(
        title=option.title[:1].upper() + option.title[1:],
        ready="–" if option.finish is None else moment(option.finish),
        late=lasting(option.late_min) if option.late_min else "in time",
        chance="–" if option.chance is None else f"{option.chance:.0%}",
        price="not known" if option.net is None else money(currency, option.net),
        cost=_more(option.cost_more, currency),
        told=tuple(told),
        moves=f"Orders whose date moves: {'; '.join(moves)}." if moves else "No other date moves.",
        is_late=option.late_min > 0 or broken,
    )


def _likely(what: str, promise: datetime | None) -> list[str]:
    return [] if promise is None else [f"{what} may be promised for {moment(promise)}."]


def _more(amount: str | None, currency: str) -> str:
    if amount is None:
        return "not known"
    less = amount.startswith("-")
    return f"{money(currency, amount.lstrip('-'))}{' less' if less else ''}"


def _chance(chance: float | None) -> str:
    return "" if chance is None else f"{chance:.0%} of the runs of this plan meet the date."
