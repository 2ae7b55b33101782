"""An entry of the log in the bench's words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from mouldwright.domain.hours.spoken import spoken_day
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted, listed

WORDS: dict[Happening, str] = {
    Happening.STARTED: "begun",
    Happening.FINISHED: "done",
    Happening.SCRAPPED: "Scrapped",
    Happening.SECOND: "A second",
    Happening.REWORKED: "Reworked",
    Happening.STOPPED: "stopped",
    Happening.MOULD_LOST: "Mould lost",
    Happening.MOULD_RETIRED: "Mould retired",
    Happening.STOCK_COUNTED: "Counted",
    Happening.RECEIVED: "Received",
    Happening.PERSON_AWAY: "Away",
    Happening.DELIVERY_LATE: "Delivery late",
    Happening.WEIGHED: "Weighed",
    Happening.RETURNED: "Came back",
    Happening.TAKEN_BACK: "Taken back",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryTold:
    """An entry in words.

    Attributes:
        head: What happened, in a word or two.
        about: To what: the mould, the order and its pulls, the material and how much.
        people: Whose hands, by the names they go by.
        why: Cause and note.
    """

    head: str
    about: str
    people: str
    why: str


def told(shop: Shop, entry: LogEntry) -> EntryTold:
    """Return an entry in words, times in the shop's own."""
    word = WORDS[entry.what]
    head = f"{entry.task.operation.capitalize()} {word}" if word.islower() and entry.task else word
    names = [shop.people[key].title if key in shop.people else key for key in entry.people]
    return EntryTold(
        head=head,
        about=", ".join(_about(shop, entry)),
        people="" if entry.what is Happening.PERSON_AWAY else listed(names),
        why=". ".join(piece.rstrip(".") for piece in (entry.cause, entry.note) if piece),
    )


def _about(shop: Shop, entry: LogEntry) -> list[str]:
    found: list[str] = []
    if entry.takes_back is not None:
        found.append(f"entry {entry.takes_back}")
    if entry.what is Happening.PERSON_AWAY:
        found += [shop.people[k].title if k in shop.people else k for k in entry.people]
    mould = entry.mould or (entry.task.mould if entry.task is not None else None)
    if mould:
        found.append(place_title(shop, mould))
    found += members_told(entry.members or (entry.task.members if entry.task else ()))
    if entry.material is not None:
        unit = "m" if _by_metre(shop, entry.material) else "g"
        much = "" if entry.amount is None else f" {fitted(float(entry.amount))} {unit}"
        lot = f", lot {entry.lot}" if entry.lot else ""
        found.append(f"{shop.material_title(entry.material)}{much}{lot}")
    if entry.mass_g is not None:
        behind = " stayed in the cup" if entry.material is not None else " each"
        found.append(f"{fitted(float(entry.mass_g))} g{behind}")
    if entry.hours_used is not None:
        found.append(f"after {fitted(float(entry.hours_used))} h")
    if entry.until is not None:
        until = entry.until.astimezone(ZoneInfo(shop.zone))
        word = "expected" if entry.what is Happening.DELIVERY_LATE else "until"
        found.append(f"{word} {spoken_day(until)}, {until:%H:%M}")
    return found


def _by_metre(shop: Shop, material: str) -> bool:
    found = shop.materials.get(material)
    return found is not None and found.rod is not None


def members_told(members: Sequence[LoggedMember]) -> list[str]:
    """Return the orders with their pulls or parts: "order 1001 pulls 3, 4"."""
    found = []
    for member in members:
        words = f"order {member.order}"
        kind, ids = ("part", member.parts) if member.parts else ("pull", member.pulls)
        if ids:
            words += f" {kind if len(ids) == 1 else kind + 's'} {_numbers(ids)}"
        found.append(words)
    return found


def _numbers(ids: Sequence[int]) -> str:
    """Return numbers with runs of three and more drawn together: "1 to 4, 7"."""
    runs: list[list[int]] = []
    for number in sorted(set(ids)):
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    pieces: list[str] = []
    for run in runs:
        pieces += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(n) for n in run]
    return ", ".join(pieces)
