"""Moulds as their sheets show them: how each stands, what is ahead, what happened to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from mouldwright.domain.place_titles import family_title
from mouldwright.domain.record.mould_ledger import MouldLedger, MouldMove
from mouldwright.domain.record.mould_life import LifeAhead
from mouldwright.domain.record.pulls import Pull
from mouldwright.domain.record.serial import Serial
from mouldwright.domain.shop import Shop
from mouldwright.web.view_models.quote import title_of, way_of
from mouldwright.web.view_models.shape import Facts
from mouldwright.web.words import count, day_and_year, moment


@dataclass(frozen=True, slots=True, kw_only=True)
class StandRow:
    """One mould in the list.

    Attributes:
        due: What its upkeep asks next.
        ahead: When it is used up; a dash where nothing says so.
        begin: By when its successor is begun or ordered; empty where nothing says so.
        presses: Whether that moment is over.
        is_over: Whether it gives no more pulls.
    """

    name: str
    number: str
    pulls: str
    left: str
    due: str
    ahead: str
    begin: str
    presses: bool
    is_over: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveRow:
    """One thing that happened to a mould.

    Attributes:
        order: Of a pull; empty for what is of none.
        serials: Of its parts.
    """

    at: str
    what: str
    order: str
    serials: tuple[str, ...]
    pulls: str
    since: str
    by: str
    remark: str
    is_history: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldSheet:
    """One mould.

    Attributes:
        said: What a person should know or do, the most pressing first.
        defects: How many parts had what wrong with them.
        moves: The latest first.
    """

    name: str
    family: str
    title: str
    part: str
    part_key: str
    process: str
    process_key: str
    facts: Facts
    said: tuple[str, ...]
    defects: tuple[tuple[str, str, str], ...]
    moves: tuple[MoveRow, ...]


def stand_rows(
    shop: Shop, found: Sequence[tuple[MouldLedger, LifeAhead]], *, now: datetime
) -> dict[str, tuple[StandRow, ...]]:
    """Return the moulds of each family, by its key."""
    rows: dict[str, list[StandRow]] = {}
    for ledger, ahead in found:
        rows.setdefault(ledger.family.key, []).append(_stand(shop, ledger, ahead, now))
    return {key: tuple(of) for key, of in rows.items()}


def mould_sheet(shop: Shop, ledger: MouldLedger, ahead: LifeAhead, *, now: datetime) -> MouldSheet:
    """Return the sheet of one mould."""
    family = ledger.family
    facts = [
        ("Pulls", f"{ledger.pulls:,}"),
        (
            "Of them",
            f"{ledger.opening_pulls:,} when counted, {ledger.counted_pulls:,} by the log since",
        ),
        ("Pulls left", _left(ledger)),
        ("Since conditioning", count(ledger.since, "pull")),
        ("Next", _due(ledger)),
        ("Good parts by the log", f"{ledger.good:,}"),
    ]
    if ledger.in_it is not None:
        facts.append(("In it now", _pull(ledger.in_it)))
    if ledger.pulled_by:
        hands = (f"{_name(shop, who)} {pulls:,}" for who, pulls in ledger.pulled_by.items())
        facts.append(("Pulled by", ", ".join(hands)))
    return MouldSheet(
        name=ledger.name,
        family=family.key,
        title=f"{family_title(shop, family)}, number {ledger.number}",
        part=title_of(shop, family.part),
        part_key=family.part,
        process=way_of(shop, family.process),
        process_key=family.process,
        facts=tuple(facts),
        said=tuple(_said(shop, ledger, ahead, now)),
        defects=tuple(
            (d.what.capitalize(), d.cause or "no cause noted", count(d.parts, "part"))
            for d in ledger.defects
        ),
        moves=tuple(_move(shop, move) for move in reversed(ledger.moves)),
    )


def _stand(shop: Shop, ledger: MouldLedger, ahead: LifeAhead, now: datetime) -> StandRow:
    used_up = "–"
    if ahead.used_up is not None and ledger.is_usable:
        about = "" if ahead.is_by_plan else "about "
        used_up = about + day_and_year(ahead.used_up.astimezone(ZoneInfo(shop.zone)))
    begin = ahead.begin_by
    return StandRow(
        name=ledger.name,
        number=ledger.number,
        pulls=f"{ledger.pulls:,}",
        left=_left(ledger),
        due=_due(ledger),
        ahead=used_up,
        begin="" if begin is None else day_and_year(begin.astimezone(ZoneInfo(shop.zone))),
        presses=ahead.is_pressing(now),
        is_over=not ledger.is_usable,
    )


def _left(ledger: MouldLedger) -> str:
    if ledger.life_left is None:
        return "does not wear"
    return f"{ledger.life_left:,}"


def _due(ledger: MouldLedger) -> str:
    if ledger.gone_by is not None:
        return ledger.gone_by
    if not ledger.is_usable:
        return "its insert is spent: replace it"
    if ledger.coats_due > 1:
        return f"{ledger.coats_due} coats now"
    if ledger.coats_due:
        return "conditioning now"
    pulls = ledger.until_conditioning
    return "–" if pulls is None else f"conditioning after {count(pulls, 'pull')}"


def _said(shop: Shop, ledger: MouldLedger, ahead: LifeAhead, now: datetime) -> Iterator[str]:
    zone = ZoneInfo(shop.zone)
    if ledger.gone is not None:
        cause = next((m.cause for m in reversed(ledger.moves) if m.cause), "")
        why = f": {cause}" if cause else ""
        yield f"It was {ledger.gone_by} on {moment(ledger.gone.astimezone(zone))}{why}."
        return
    if ahead.used_up is not None:
        day = day_and_year(ahead.used_up.astimezone(zone))
        if ahead.is_by_plan:
            yield f"The plan takes its last pull, which is out on {day}."
        else:
            yield f"At the pace of the plan its last pull is out about {day}."
    if ahead.begin_by is not None:
        day = day_and_year(ahead.begin_by.astimezone(zone))
        verb = "Begin" if ledger.family.made_by else "Order"
        late = " That day is over: do it now." if ahead.is_pressing(now) else ""
        yield f"{verb} the next one by {day}.{late}"
    elif ahead.used_up is not None:
        yield "How long a new one takes is not written: give the moulds made_by, or lead_days."


def _move(shop: Shop, move: MouldMove) -> MoveRow:
    taken = move.taken
    remarks = [] if taken is None or taken.end in (None, "taken") else [str(taken.end)]
    remarks += [move.cause] if move.cause else []
    remarks += [] if move.is_counted else ["before the count"]
    return MoveRow(
        at=moment(move.at.astimezone(ZoneInfo(shop.zone))),
        what=_pull(taken) if taken is not None else move.what,
        order=taken.order if taken is not None else "",
        serials=tuple(str(Serial(taken.order, part)) for part in taken.parts)
        if taken is not None and taken.order
        else (),
        pulls=f"{move.pulls:,}",
        since=f"{move.since:,}",
        by=", ".join(_name(shop, who) for who in move.people) or "–",
        remark=", ".join(remarks) or "–",
        is_history=not move.is_counted,
    )


def _pull(pull: Pull) -> str:
    return f"Pull {pull.number} of order {pull.order}" if pull.order else "a proof pull"


def _name(shop: Shop, key: str) -> str:
    return shop.people[key].title if key in shop.people else key
