"""What fixes an order's date, and what everything idles for, on the terminal."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.show import heading, print_json, table, when
from mouldwright.domain.errors import NotFound
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.why import explain, use_in
from mouldwright.wire.answers.explanation import ExplanationAnswer, ResourcesAnswer

# What is told together in one column.
_COLUMNS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("hands", ("hands",)),
    ("alone", ("alone",)),
    ("closed", ("closed",)),
    ("people", ("people",)),
    ("things", ("mould", "station", "room")),
    ("cure", ("cure",)),
    ("other", ("too short", "release", "not forced")),
    ("none", ("nothing",)),
)


def must_know(shop: Shop, order: str) -> None:
    """Raise NotFound where a shop has no such order."""
    known = [each.number for each in shop.orders]
    if order not in known:
        raise NotFound(kind="order", key=order, known=known)


def show_why(out: Console, shop: Shop, planned: Plan, order: str, *, as_json: bool) -> None:
    """Print what fixes an order's date, from its finish back."""
    answer = ExplanationAnswer.of(explain(shop, planned, order), planned)
    if as_json:
        print_json(answer)
        return
    heading(out, f"What fixes the date of order {order}, the last first")
    rows = [(when(s.start), when(s.end), s.what, s.why or None) for s in answer.stretches]
    out.print(
        table(
            [("from", "right"), ("to", "right"), ("what", "left"), ("no sooner because", "left")],
            rows,
        )
    )
    heading(out, "What the time goes into")
    out.print(
        table(
            [("", "left"), ("hours", "right")],
            [(s.what, f"{s.minutes / 60:,.1f}") for s in answer.shares],
        )
    )
    out.print(answer.headline)


def show_use(out: Console, shop: Shop, planned: Plan, *, as_json: bool) -> None:
    """Print what every person, mould and station does all the time the plan lasts."""
    answer = ResourcesAnswer.of(use_in(shop, planned))
    if as_json:
        print_json(answer)
        return
    heading(out, "Hours from now to the last part, by what each does or waits for")
    rows = []
    for each in answer.resources:
        name = shop.people[each.name].title if each.kind == "person" else each.name
        hours = [sum(each.minutes.get(s, 0) for s in states) / 60 for _, states in _COLUMNS]
        rows.append((name, *(f"{h:,.1f}" if h else None for h in hours)))
    columns = [("", "left"), *((title, "right") for title, _ in _COLUMNS)]
    out.print(table(columns, rows))
    out.print(
        "Worked at with hands; alone: a cure or machine runs; closed; waits for people, for "
        "things (a mould, station or room) and for a cure; other: too short before closing, not "
        "released, or forced by nothing; none: nothing to do."
    )
