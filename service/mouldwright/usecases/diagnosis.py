"""What is wrong with an installation, judged from facts that were gathered without a change.

Each judgement is a function of plain facts; who gathers them is outside.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from urllib.parse import urlsplit

from mouldwright.usecases.kept import Waiting

# Less free space than this and the next plan or backup may not fit; common practice, no source.
LEAST_FREE_BYTES = 100_000_000
FEW_FREE_BYTES = 1_000_000_000
# A worker that lives and is idle takes a run up within seconds.
LONGEST_IDLE_WAIT = timedelta(minutes=1)
LONGEST_BUSY_WAIT = timedelta(minutes=10)
MOST_CLOCK_APART = timedelta(seconds=5)
# No machine that runs this has a clock that rightly shows an earlier day.
EARLIEST = datetime(2026, 1, 1, tzinfo=UTC)


class State(StrEnum):
    """How a thing was found."""

    WELL = "well"
    CAUTION = "caution"
    WRONG = "wrong"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that was looked at.

    Attributes:
        what: What it is, in two or three words.
        says: What was found.
        remedy: What helps; empty where nothing need be done.
    """

    what: str
    state: State
    says: str
    remedy: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """How the runs stand.

    Attributes:
        waiting: Those that nobody has taken up.
        held: How many are worked on by a worker that shows signs of life.
        lapsed: How many are in the hands of a worker that shows none any more.
        set_aside: How many failed too often.
    """

    waiting: Waiting
    held: int
    lapsed: int
    set_aside: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Fence:
    """How a database itself keeps the rows of one shop from units of another.

    Attributes:
        role: As whom the database is spoken to.
        is_passed: Whether that role sees every row, whatever the fence says.
        open_tables: Tables that are not behind it.
    """

    role: str
    is_passed: bool
    open_tables: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DatabaseCondition:
    """What a database was found to be, nothing in it having been changed.

    Attributes:
        shown: Its url without the password.
        is_there: Whether there is anything yet; a SQLite file is made when first served.
        closed: Why it cannot be opened; empty where it can.
        schema: Last step its tables were brought to; None for none.
        steps: Every step this version knows, the first first.
        unwritable: Why nothing can be written to it; empty where it can.
        is_busy: Whether others wrote for as long as was waited.
        damage: What the database says is damaged in it; empty for nothing.
        free_bytes: Space left where its file lies; None where that is not seen from here.
        open_to_others: Files of it that others on this machine may read.
        own_clock: What the database's own machine says the time is; None where it has none.
        latest: The latest instant that something kept was written; None where nothing was.
        work: How its runs stand; None where its tables are not the newest.
        fence: How its fence between shops stands; None where it has none, or its tables are not
            the newest.
    """

    shown: str
    is_there: bool = True
    closed: str = ""
    schema: str | None = None
    steps: tuple[str, ...] = ()
    unwritable: str = ""
    is_busy: bool = False
    damage: str = ""
    free_bytes: int | None = None
    open_to_others: tuple[str, ...] = ()
    own_clock: datetime | None = None
    latest: datetime | None = None
    work: Work | None = None
    fence: Fence | None = None

    @property
    def is_newest(self) -> bool:
        """Return whether its tables are the ones this version works with."""
        return bool(self.steps) and self.schema == self.steps[-1]


def judge_database(found: DatabaseCondition) -> Iterable[Finding]:
    """Judge where things are kept: reached, its tables, writable, whole, room, who may read."""
    if found.closed:
        yield _wrong("database", f"{found.shown} cannot be opened: {found.closed}", "Mend that.")
    elif not found.is_there:
        yield _caution(
            "database", f"{found.shown} is not there yet.", "`mouldwright serve` makes it."
        )
    else:
        yield _well("database", f"{found.shown} answers.")
        yield _tables(found)
        yield _writing(found)
        if found.fence is not None:
            yield _fence(found.fence)
        if found.damage:
            yield _wrong(
                "what is kept", f"It is damaged: {found.damage}", "Restore the latest backup."
            )
        else:
            yield _well("what is kept", "The database finds nothing damaged.")
    if found.free_bytes is not None:
        yield _room(found.free_bytes)
    if found.open_to_others:
        names = ", ".join(found.open_to_others)
        yield _caution(
            "who may read", f"Others on this machine may read {names}.", f"chmod go-rwx {names}"
        )


def judge_clock(found: DatabaseCondition, *, now: datetime, machine: datetime) -> Iterable[Finding]:
    """Judge the clocks.

    Args:
        found: With the latest instant kept, and the database's own clock.
        now: What the service would say the time is.
        machine: What this machine says.
    """
    if machine < EARLIEST:
        yield _wrong("clock", f"This machine says it is {machine:%Y-%m-%d}.", "Set its clock.")
    elif found.latest is not None and found.latest > now + MOST_CLOCK_APART:
        yield _wrong(
            "clock",
            f"Something was kept at {found.latest:%Y-%m-%d %H:%M} UTC, and it is only "
            f"{now:%Y-%m-%d %H:%M} UTC: the clock was put back, or the service goes by another.",
            "Set the machine's clock; say --demo where the service goes by the demo's.",
        )
    elif found.own_clock is not None and abs(found.own_clock - machine) > MOST_CLOCK_APART:
        apart = abs(found.own_clock - machine).total_seconds()
        yield _caution(
            "clock",
            f"The database's machine and this one are {apart:.0f} s apart.",
            "Let both follow one time server.",
        )
    else:
        yield _well("clock", f"{now:%Y-%m-%d %H:%M} UTC, and nothing kept is later.")


def judge_work(work: Work, *, now: datetime) -> Iterable[Finding]:
    """Judge whether the runs are taken up."""
    since = work.waiting.since
    wait = now - since if since is not None else timedelta(0)
    # A worker with nothing else to do takes either up at once.
    if not work.held and (wait > LONGEST_IDLE_WAIT or work.lapsed):
        yield _wrong(
            "worker",
            f"{work.waiting.runs} runs wait, {work.lapsed} were left by a worker that is gone, "
            "and nobody takes them up.",
            "Start `mouldwright serve`; where it runs, look for its worker's errors in its log.",
        )
    elif wait > LONGEST_BUSY_WAIT or work.lapsed:
        yield _caution(
            "worker",
            f"{work.waiting.runs} runs wait, the first for {wait.total_seconds() / 60:.0f} min, "
            f"and {work.lapsed} were left by a worker that is gone.",
            "The worker is busy. Look again later, or start another: `mouldwright work`.",
        )
    else:
        doing = f"{work.held} runs are worked on, {work.waiting.runs} wait."
        yield _well("worker", doing)
    if work.set_aside:
        yield _caution(
            "runs set aside",
            f"{work.set_aside} runs failed three times, or were over their caps.",
            "Read their problems at .../runs, and ask anew.",
        )


def judge_caps(
    *, memory_mb: int, minutes: float, workers: int, machine_mb: float
) -> Iterable[Finding]:
    """Judge what a run may take at most.

    Args:
        memory_mb: RUN_MEMORY_MB, of one worker, MiB.
        minutes: RUN_MINUTES.
        workers: Workers that the server starts beside itself.
        machine_mb: All the memory of this machine, MiB; 0 where the system does not tell.
    """
    says = (
        f"A run may take {memory_mb:,} MB of memory (RUN_MEMORY_MB) and {minutes:g} minutes "
        "(RUN_MINUTES); then it is set aside."
    )
    if 0 < machine_mb < max(1, workers) * memory_mb:
        yield _caution(
            "caps of a run",
            f"{says} {max(1, workers)} at once could take more than the {machine_mb:,.0f} MB of "
            "this machine.",
            "Lower MOULDWRIGHT_RUN_MEMORY_MB, or start fewer workers.",
        )
    else:
        yield _well("caps of a run", says)


def judge_parts(parts: Mapping[str, Callable[[], object]]) -> Iterable[Finding]:
    """Try each part of the program that a damaged installation may lack.

    Args:
        parts: By what each is called: something that raises where it does not work.
    """
    for what, works in parts.items():
        try:
            works()
        except Exception as error:  # whatever it is, it is what there is to tell
            yield _wrong(
                what,
                f"It does not work: {type(error).__name__}: {error}.".replace("..", "."),
                "Install the program anew.",
            )
        else:
            yield _well(what, "It works.")


def judge_shops(read: Mapping[str, Callable[[], object]]) -> Iterable[Finding]:
    """Judge whether this version can read every shop that is kept.

    Args:
        read: By the key of a shop: reads it, and raises where it cannot be read.
    """
    unread = []
    for key, reads in read.items():
        try:
            reads()
        except Exception as error:  # one that cannot be read must not hide the others
            unread.append(f"{key} ({type(error).__name__})")
    if unread:
        yield _wrong(
            "shops",
            f"Not every shop that is kept can be read: {', '.join(unread)}.",
            "They may be of another version; restore a backup where that one is not at hand.",
        )
    else:
        yield _well("shops", f"{len(read)} kept, and each can be read.")


def judge_settings(
    *, host: str, called: Collection[str], is_loopback: bool, public_address: str
) -> Iterable[Finding]:
    """Judge settings that contradict each other.

    Args:
        host: Address that is listened on.
        called: Every name the service answers to, small letters.
        is_loopback: Whether nothing but this machine reaches it.
        public_address: Where people are said to reach it; empty where nothing is said.
    """
    before = len(called)
    beyond = [name for name in called if name not in ("127.0.0.1", "localhost", "[::1]")]
    if not is_loopback and not beyond:
        yield _wrong(
            "names",
            f"It listens on {host} for others too, and answers to loopback names alone.",
            "Name what it is called by in MOULDWRIGHT_TRUSTED_HOSTS.",
        )
    elif any((":" in name and not name.startswith("[")) or "/" in name for name in beyond):
        yield _wrong(
            "names",
            "MOULDWRIGHT_TRUSTED_HOSTS has a port or an address in it.",
            "Write names alone, such as bench.example.",
        )
    else:
        yield _well("names", f"It answers to {before} names.")
    if public_address:
        yield _address(public_address, called, is_loopback=is_loopback)


def _address(text: str, called: Collection[str], *, is_loopback: bool) -> Finding:
    what = "public address"
    said = urlsplit(text)
    if said.scheme not in {"http", "https"} or not said.hostname:
        return _wrong(what, f"{text} is no address.", "Write one such as https://bench.example.")
    name = f"[{said.hostname}]" if ":" in said.hostname else said.hostname
    if name not in called:
        return _wrong(
            what,
            f"People are sent to {text}, and the service does not answer to {name}.",
            "Add the name to MOULDWRIGHT_TRUSTED_HOSTS.",
        )
    if said.scheme == "http" and name not in {"127.0.0.1", "localhost", "[::1]"}:
        return _caution(
            what,
            f"What is sent to {text} is not encrypted.",
            "Put it behind a server that speaks https.",
        )
    return _well(what, f"People reach it at {text}.")


def _tables(found: DatabaseCondition) -> Finding:
    if found.is_newest:
        return _well("tables", f"They are the newest, {found.schema}.")
    if found.schema is None:
        return _caution("tables", "There are none yet.", "`mouldwright serve` makes them.")
    if found.schema in found.steps:
        return _caution(
            "tables",
            f"They are at {found.schema}, and {found.steps[-1]} is the newest.",
            "Take a backup; `mouldwright serve` brings them up to date.",
        )
    return _wrong(
        "tables",
        f"They are at {found.schema}, which this version does not know.",
        "They were made by a later version: install that one.",
    )


def _writing(found: DatabaseCondition) -> Finding:
    if found.is_busy:
        return _caution(
            "writing", "Others wrote for as long as was waited.", "Look again in a minute."
        )
    if found.unwritable:
        return _wrong(
            "writing",
            f"Nothing can be written: {found.unwritable}",
            "Look at who owns the file or the tables, and how the disk is mounted.",
        )
    return _well("writing", "It can be written to.")


def _fence(fence: Fence) -> Finding:
    if fence.open_tables:
        names = ", ".join(fence.open_tables)
        return _wrong(
            "fence",
            f"PostgreSQL does not keep the shops apart in {names}.",
            "Take a backup and restore it into an empty database.",
        )
    if fence.is_passed:
        return _caution(
            "fence",
            f"The role {fence.role} passes PostgreSQL's fence between shops, as superusers do.",
            "Let a plain role own the database and serve as that one.",
        )
    return _well("fence", "PostgreSQL itself keeps the rows of each shop from the others.")


def _room(free_bytes: int) -> Finding:
    left = f"{free_bytes / 1e9:.1f} GB are free where the database lies."
    if free_bytes < LEAST_FREE_BYTES:
        return _wrong("room", left, "Make room before anything else is kept.")
    if free_bytes < FEW_FREE_BYTES:
        return _caution("room", left, "Make room soon.")
    return _well("room", left)


def _well(what: str, says: str) -> Finding:
    return Finding(what=what, state=State.WELL, says=says)


def _caution(what: str, says: str, remedy: str) -> Finding:
    return Finding(what=what, state=State.CAUTION, says=says, remedy=remedy)


def _wrong(what: str, says: str, remedy: str) -> Finding:
    return Finding(what=what, state=State.WRONG, says=says, remedy=remedy)
