"""An enquiry's answer: which way to make it, what it costs, when it is ready, and why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.compare import Choice, Comparison
from mouldwright.domain.hours.opening import local
from mouldwright.domain.quote import cautions_for
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted, listed
from mouldwright.web.fault_words import in_form_words
from mouldwright.web.view_models.cost import CostView, cost_view
from mouldwright.web.view_models.origins import (
    pricing_origin,
    rests_on,
    stiffness_origin,
    timing_origin,
)
from mouldwright.web.view_models.would_pass import ChangeRow, change_rows
from mouldwright.web.words import (
    amount,
    count,
    day,
    figure,
    long_day,
    measure,
    money,
    odds,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A figure in the table of ways; ``best`` of its row, or one that ``fails``."""

    text: str
    best: bool = False
    fails: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of the table of ways."""

    title: str
    unit: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One process.

    Attributes:
        mark: Which pattern it is drawn with.
        quote: What the button that quotes it says; empty where it cannot be quoted.
        stiffness: Where its stiffness figures come from.
        timing: Where its dates and rates come from.
        pricing: Where its price comes from.
        changes: Of one that fails, what would make it pass.
    """

    process: str
    title: str
    mark: int
    chosen: bool
    passes: bool
    quote: str
    cost: CostView | None
    stiffness: tuple[tuple[str, str], ...]
    timing: tuple[tuple[str, str], ...]
    pricing: tuple[tuple[str, str], ...]
    changes: tuple[ChangeRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """A way that fails or of which something must be said."""

    title: str
    word: str
    fails: bool
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EnquiryView:
    """The whole answer.

    Attributes:
        strong: The recommendation in a few words.
        answer: What follows it.
        why: The reasons and the margin.
        winners: Who is best under each aim.
        act: What the one filled button says; empty where nothing can be quoted.
        is_what_if: Whether figures were taken otherwise, which a quote leaves out.
    """

    strong: str
    answer: str
    why: str
    winners: tuple[tuple[str, str], ...]
    ways: tuple[Way, ...]
    rows: tuple[Row, ...]
    troubles: tuple[Trouble, ...]
    cautions: tuple[str, ...]
    act: str
    act_process: str
    is_what_if: bool
    currency: str


def enquiry_view(
    shop: Shop,
    found: Comparison,
    *,
    marks: dict[str, int],
    by: int | None,
    now: int,
    is_what_if: bool,
    is_planned: bool,
) -> EnquiryView:
    """Return the view of a comparison.

    Args:
        shop: Where it was made, what-if figures in it.
        found: The comparison.
        marks: Pattern of each process.
        by: Minute the parts are wanted; None where there is no date.
        now: Minute it was made.
        is_what_if: Whether anything was taken otherwise than written.
        is_planned: Whether dates lie on top of what is booked, not by rates alone.
    """
    chosen = found.recommended.process
    best = next((c for c in found.choices if c.process == chosen), None)
    titles = {choice.process: choice.title for choice in found.choices}
    strong, answer = (
        _answer(shop, best, by, is_planned=is_planned) if best else ("No way passes.", "")
    )
    return EnquiryView(
        strong=strong,
        answer=answer,
        why=found.recommended.why,
        winners=tuple((w.aim.capitalize(), titles[w.process]) for w in found.winners),
        ways=tuple(
            _way(
                shop,
                choice,
                marks[choice.process],
                chosen=choice is best,
                now=now,
                is_what_if=is_what_if,
                is_planned=is_planned,
            )
            for choice in found.choices
        ),
        rows=_rows(shop, found, by),
        troubles=tuple(t for c in found.choices for t in _troubles(c)),
        cautions=_cautions(shop, found, best),
        act=_act(shop, best, is_what_if) if best else "",
        act_process=best.process if best and best.price else "",
        is_what_if=is_what_if,
        currency=shop.currency.code,
    )


def _answer(shop: Shop, best: Choice, by: int | None, *, is_planned: bool) -> tuple[str, str]:
    judged, said = best.judgement, []
    if judged.deflection_mm is not None and judged.allowed_mm is not None:
        said.append(
            f"it bends {fitted(judged.deflection_mm)} of the {judged.allowed_mm:g} mm allowed"
        )
    if best.cost is not None and best.cost.per_good_part is not None:
        said.append(f"costs {money(shop.currency, best.cost.per_good_part)} each")
    if best.finish is not None:
        ready = f"is ready on {long_day(local(best.finish, shop.zone))}"
        if not is_planned:
            ready += " by the rate alone"
        if by is not None:
            ready += f", {_beside(best.finish, by, shop.zone)}"
        if best.ready is not None and best.ready.chance is not None:
            ready += f", a day kept {odds(best.ready.chance)} times"
        said.append(ready)
    elif best.undated:
        said.append("has no date that can be given as things are")
    sentence = listed(said)
    return f"{best.title}.", f"{sentence[:1].upper()}{sentence[1:]}." if sentence else ""


def _beside(finish: int, by: int, zone: str) -> str:
    days = (local(by, zone).date() - local(finish, zone).date()).days
    if finish > by:
        return f"late by {count(-days, 'day')}" if days else "some hours too late"
    return f"{count(days, 'day')} before it is wanted" if days else "the day it is wanted"


def _act(shop: Shop, choice: Choice, is_what_if: bool) -> str:
    if choice.price is None or choice.cost is None:
        return ""
    # What-if figures are not what a quote charges, so its price is not said beforehand.
    price = "" if is_what_if else f" at {money(shop.currency, choice.price.price_each)}"
    return f"Quote {choice.cost.quantity:,}{price}"


def _rows(shop: Shop, found: Comparison, by: int | None) -> tuple[Row, ...]:
    choices = found.choices
    code = shop.currency.code

    def row(
        title: str,
        unit: str,
        value: Callable[[Choice], float | Fraction | None],
        text: Callable[[Choice], str],
        *,
        least: bool = True,
        fails: Callable[[Choice], bool] = lambda choice: False,
    ) -> Row:
        known = [v for c in choices if c.passes and (v := value(c)) is not None]
        best = None if len(known) < 2 else min(known) if least else max(known)
        cells = (
            Cell(
                text=text(c) if value(c) is not None else "–",
                best=c.passes and best is not None and value(c) == best,
                fails=fails(c),
            )
            for c in choices
        )
        return Row(title=title, unit=unit, cells=tuple(cells))

    allowed = next((c.judgement.allowed_mm for c in choices if c.judgement.allowed_mm), None)
    rows = [
        Row(title="Bears it", unit="", cells=tuple(_verdict(c) for c in choices)),
        row(
            "Bends",
            f"mm, of {allowed:.1f}" if allowed else "mm",
            lambda c: c.judgement.deflection_mm,
            lambda c: measure(c.judgement.deflection_mm),
            fails=lambda c: bool(c.judgement.utilisation and c.judgement.utilisation > 1),
        ),
        Row(
            title="Stiffness by",
            unit="",
            cells=tuple(Cell(text=rests_on(c.judgement)) for c in choices),
        ),
        row("Mass", "g", lambda c: c.judgement.mass_g, lambda c: figure(c.judgement.mass_g)),
        row(
            "Unit cost",
            code,
            lambda c: c.cost.per_good_part if c.cost else None,
            lambda c: amount(shop.currency, c.cost.per_good_part if c.cost else None),
        ),
        row(
            "Price each",
            f"{code}, before tax",
            lambda c: Fraction(c.price.price_each) if c.price else None,
            lambda c: amount(shop.currency, c.price.price_each if c.price else None),
        ),
        row(
            "Ready",
            "all of them",
            lambda c: c.finish,
            lambda c: _ready(shop, c, by),
            fails=lambda c: by is not None and c.finish is not None and c.finish > by,
        ),
        row(
            "Rate",
            "good parts a day",
            lambda c: c.rate.good_per_day_sustained if c.rate else None,
            lambda c: figure(c.rate.good_per_day_sustained if c.rate else None),
            least=False,
        ),
        row(
            "Hands",
            "hours in all",
            lambda c: float(c.cost.people_hours) if c.cost else None,
            lambda c: figure(c.cost.people_hours if c.cost else None),
        ),
        Row(title="Moulds", unit="", cells=tuple(Cell(text=_moulds(c)) for c in choices)),
        Row(
            title=f"Parts begun for {found.quantity:,} good",
            unit="",
            cells=tuple(Cell(text=f"{c.cost.starts:,}" if c.cost else "–") for c in choices),
        ),
    ]
    return tuple(row for row in rows if any(cell.text != "–" for cell in row.cells))


def _verdict(choice: Choice) -> Cell:
    if not choice.judgement.makeable:
        return Cell(text="cannot be made", fails=True)
    meets = choice.judgement.meets_requirement
    if meets is None:
        return Cell(text="nothing asked")
    return Cell(text="passes") if meets else Cell(text="fails", fails=True)


def _ready(shop: Shop, choice: Choice, by: int | None) -> str:
    assert choice.finish is not None
    ready = day(local(choice.finish, shop.zone))
    return f"{ready}, late" if by is not None and choice.finish > by else ready


def _moulds(choice: Choice) -> str:
    if choice.cost is None:
        return "–"
    if not choice.moulds and not choice.cost.moulds_used:
        return "none"
    new = choice.moulds_to_make
    return f"{choice.moulds}, {new} to make" if new else f"{choice.moulds} at hand"


def _way(
    shop: Shop,
    choice: Choice,
    mark: int,
    *,
    chosen: bool,
    now: int,
    is_what_if: bool,
    is_planned: bool,
) -> Way:
    return Way(
        process=choice.process,
        title=choice.title,
        mark=mark,
        chosen=chosen,
        passes=choice.passes,
        quote=_act(shop, choice, is_what_if),
        cost=cost_view(choice.cost, shop.currency) if choice.cost else None,
        stiffness=stiffness_origin(choice.judgement),
        timing=timing_origin(shop, choice, now, is_planned=is_planned),
        pricing=pricing_origin(shop, choice),
        changes=change_rows(shop.currency, choice.would_pass),
    )


def _troubles(choice: Choice) -> Sequence[Trouble]:
    judged, found = choice.judgement, []
    if not choice.passes:
        word = "Fails." if judged.makeable else "Cannot be made."
        said_each = [f"{in_form_words(reason).rstrip('.')}." for reason in judged.reasons]
        reasons = tuple(said_each) or ("It bends too far.",)
        found.append(Trouble(title=choice.title, word=word, fails=True, sentences=reasons))
    said = [*map(in_form_words, judged.warnings), *(choice.cost.cautions if choice.cost else ())]
    if choice.cost and choice.cost.unknown:
        said.extend(f"The cost is unknown: {reason}." for reason in choice.cost.unknown)
    if said:
        found.append(Trouble(title=choice.title, word="Look.", fails=False, sentences=tuple(said)))
    return found


def _cautions(shop: Shop, found: Comparison, best: Choice | None) -> tuple[str, ...]:
    part = shop.part(found.part)
    looked_at = [best] if best else [c for c in found.choices if c.judgement.makeable]
    processes = [shop.process(choice.process) for choice in looked_at]
    materials = [
        constituent.material
        for choice in looked_at
        if choice.judgement.charge
        for constituent in choice.judgement.charge.constituents
    ]
    return cautions_for(shop, processes, materials, parts=[part])
