"""The paper command."""

from __future__ import annotations

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import print_json
from mouldwright.cli.writing import write_out
from mouldwright.documents.buy_paper import buy_pdf
from mouldwright.documents.day_paper import day_pdf
from mouldwright.documents.mould_labels import labels_pdf, moulds_of
from mouldwright.documents.setting import Paper, paper_of
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.usecases.buying import to_buy
from mouldwright.usecases.papers import DayAsked, families_asked, people_asked
from mouldwright.usecases.planned import plan
from mouldwright.usecases.present import day_asked, present
from mouldwright.wire.answers.paper import PaperAnswer

KINDS = ("day-sheet", "mould-labels", "buy-list")


def paper(
    scenario: str,
    kind: str,
    *,
    out: str,
    day: str | None,
    person: str | None,
    family: str | None,
    address: str,
    set_on: str,
    now: str | None,
    seconds: float,
    seed: int,
    as_json: bool,
) -> None:
    """Write a paper for the bench to a file."""
    if kind not in KINDS:
        raise _fault("KIND", kind, "there is no such paper.", f"Write one of {', '.join(KINDS)}.")
    size = paper_of(set_on)
    shop = open_shop(scenario)
    at = present(shop, now, clock)
    if kind == "day-sheet":
        made = _day_sheet(shop, at, day, person, seconds=seconds, seed=seed, size=size)
    elif kind == "mould-labels":
        moulds = moulds_of(shop, families_asked(shop, [family] if family else []))
        made = labels_pdf(shop, scenario, moulds, address.rstrip("/"), paper=size)
    else:
        made = buy_pdf(to_buy(shop, now=at), paper=size)
    write_out(made, out)
    if as_json:
        print_json(PaperAnswer(kind=kind, file=out, bytes=len(made)))


def _day_sheet(
    shop: Shop,
    at: int,
    day: str | None,
    person: str | None,
    *,
    seconds: float,
    seed: int,
    size: Paper,
) -> bytes:
    people = people_asked(shop, person)
    when = day_asked(day, "--day") or local(at, shop.zone).date()
    planned = plan(shop, now=at, seconds=seconds, seed=seed)
    asked = DayAsked(shop=shop, plan=planned, people=people, day=when, standing="a plan")
    return day_pdf(asked, paper=size)


def _fault(path: str, value: str, problem: str, remedy: str) -> InvalidInput:
    return InvalidInput([Fault(path=path, value=value[:80], problem=problem, remedy=remedy)])
