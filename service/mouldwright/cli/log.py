"""What the log command shows, and how it notes an entry in a scenario's file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal, InvalidOperation
from functools import partial
from pathlib import Path
from typing import Any

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, print_json, table
from mouldwright.domain.errors import Fault, InvalidInput, MouldwrightError, NotFound, nearest
from mouldwright.domain.hours.opening import local
from mouldwright.domain.record.log import Happening
from mouldwright.domain.shop import Shop
from mouldwright.scenario.append import append_to_log
from mouldwright.usecases import log_of_file
from mouldwright.usecases.bench_log import Shown, query_of
from mouldwright.usecases.log_numbers import numbers_in
from mouldwright.usecases.log_told import told
from mouldwright.usecases.present import local_instant, present
from mouldwright.wire.log import LogEntry as WrittenEntry
from mouldwright.wire.model import read_as
from mouldwright.wire.service.log import LogEntryAnswer, LogList

_MOST = 1_000_000
_WORDS = [happening.value for happening in Happening]
_NUMBERS = ("amount", "mass_g", "temperature_c", "hours_used")
_OF_TASK = (Happening.STARTED, Happening.FINISHED, Happening.STOPPED)


def listed(
    scenario: str,
    *,
    day: str | None,
    what: str | None,
    order: str | None,
    mould: str | None,
    material: str | None,
    person: str | None,
    as_json: bool,
) -> None:
    """Print the entries that are wanted, the newest first."""
    shop = open_shop(scenario)
    query = query_of(
        zone=shop.zone,
        limit=_MOST,
        day=None if day is None else _day(day),
        what=None if what is None else _happening("--what", what),
        order=order,
        mould=mould,
        person=person,
        material=material,
    )
    found = log_of_file.listed(shop, query)
    if as_json:
        print_json(LogList(entries=[_answer(shop, each) for each in found], next=None))
        return
    out = console()
    if not found:
        out.print("Nothing is noted." if not shop.log else "Nothing of that is noted.")
        return
    rows = [_row(shop, each) for each in found]
    columns = [("entry", "right"), ("when", "left"), ("what", "left"), ("of", "left"), ("", "left")]
    out.print(table(columns, rows))


def _row(shop: Shop, shown: Shown) -> tuple[Any, ...]:
    entry = shown.entry
    words = told(shop, entry)
    more = [words.people and f"by {words.people}", words.why]
    if shown.taken_back_by is not None:
        more.append(f"taken back by entry {shown.taken_back_by}")
    when = entry.at.astimezone(local(0, shop.zone).tzinfo)
    return (
        entry.number,
        f"{when:%a} {when.day} {when:%b %Y %H:%M}",
        words.head,
        words.about,
        "; ".join(piece for piece in more if piece),
    )


def noted(scenario: str, given: Mapping[str, Any], *, now: str | None, as_json: bool) -> None:
    """Write what happened under the last entry of the scenario's log, and print it.

    Raises:
        InvalidInput: if something in it cannot be right; nothing is written.
        Conflict: if it cannot be true beside the entries that hold.
    """
    path = Path(scenario)
    if not path.exists():
        open_shop(scenario)  # says what is wrong with the path
        fault = Fault(
            path="SCENARIO",
            value=scenario,
            problem="a demo shop is read only.",
            remedy="Write its files to a folder of yours, and note there.",
        )
        raise InvalidInput([fault])
    shop = open_shop(scenario)
    at = local(present(shop, now, clock), shop.zone)
    entry = _entry(shop, given).entry(0, partial(local_instant, zone=shop.zone))
    if "at" not in given:
        entry = replace(entry, at=at, noted_at=at)
    kept, was_there = log_of_file.next_entry(shop, entry, now=max(at, entry.at))
    target = path
    if not was_there:
        try:
            target = append_to_log(path, kept)
        except OSError as error:
            raise MouldwrightError(f"{path} cannot be written: {error.strerror}.") from None
    if as_json:
        print_json(LogEntryAnswer.of(kept, shop.zone))
        return
    words = told(shop, kept)
    said = "is kept already" if was_there else f"is kept in {target}"
    console().print(f"Entry {kept.number} {said}: {words.head}, {words.about}".rstrip(", ") + ".")


def _entry(shop: Shop, given: Mapping[str, Any]) -> WrittenEntry:
    """Return what was given as it would stand in a scenario. Raises InvalidInput."""
    what = _happening("--note", given["what"])
    same = ("people", "lot", "material", "supplier", "paid", "best_before", "until", "cause")
    written: dict[str, Any] = {name: given[name] for name in same if name in given}
    written |= {n: given[n] for n in ("note", "takes_back", "said_once") if n in given}
    written |= {name: _number(name, given[name]) for name in _NUMBERS if name in given}
    written["what"] = what.value
    # Where none is given it is put in afterwards, by the clock that the scenario goes by.
    written["at"] = given.get("at", "2000-01-01T00:00")
    members = []
    if "order" in given:
        ids = {kind: _ids(kind, given[kind]) for kind in ("pulls", "parts") if kind in given}
        members = [{"order": given["order"], **ids}]
    if "operation" in given or what in _OF_TASK:
        written["task"] = _task(shop, given, members)
    else:
        written["members"] = members
        if "mould" in given:
            written["mould"] = given["mould"]
    try:
        return read_as(WrittenEntry, written)
    except InvalidInput as wrong:
        raise InvalidInput([replace(f, path=_option(f.path)) for f in wrong.faults]) from None


def _option(path: str) -> str:
    return "--" + path.split(".")[0].replace("_", "-")


def _task(shop: Shop, given: Mapping[str, Any], members: list[dict[str, Any]]) -> dict[str, Any]:
    """Return the task; its part and process are the order's, where they are not given."""
    order = next((o for o in shop.orders if o.number == given.get("order")), None)
    if "order" in given and order is None and not {"process", "part"} <= set(given):
        known = [each.number for each in shop.orders]
        raise NotFound(kind="order", key=given["order"], known=known)
    missing = {
        "operation": given.get("operation"),
        "process": given.get("process") or (order.process or order.part if order else None),
        "part": given.get("part") or (order.part if order else None),
    }
    faults = [
        Fault(
            path=f"--{name}",
            value="",
            problem=f'an entry "{given["what"]}" must say it.',
            remedy=f"Add --{name}.",
        )
        for name, value in missing.items()
        if not value
    ]
    if faults:
        raise InvalidInput(faults)
    return {
        **missing,
        "members": members,
        **({"mould": given["mould"]} if "mould" in given else {}),
    }


def _happening(option: str, text: str) -> Happening:
    if text in _WORDS:
        return Happening(text)
    raise _wrong(option, text, "that is nothing a log tells.", nearest(text, _WORDS))


def _wrong(path: str, value: str, problem: str, remedy: str) -> InvalidInput:
    return InvalidInput([Fault(path=path, value=value, problem=problem, remedy=remedy)])


def _number(name: str, text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        option = f"--{name.replace('_', '-')}"
        raise _wrong(option, text, "this is not a number.", "Write one such as 12.5.") from None


def _ids(kind: str, text: str) -> list[int]:
    try:
        return numbers_in(text)
    except ValueError:
        remedy = "Write 3, or 3,4, or 3-5."
        raise _wrong(f"--{kind}", text, "these are no numbers.", remedy) from None


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise _wrong("--day", text, "that is no day.", "Write it as 2027-03-19.") from None


def _answer(shop: Shop, shown: Shown) -> LogEntryAnswer:
    return LogEntryAnswer.of(shown.entry, shop.zone, taken_back_by=shown.taken_back_by)
