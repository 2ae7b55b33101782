"""One entry of a kept shop changed in place, by whoever shows what they had read.

Two people may work on different entries at once: what counts is whether the entry itself was
changed since it was read, not whether the shop was.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from mouldwright.domain.record.as_drawn import remembering
from mouldwright.domain.shop import Shop
from mouldwright.usecases.errors import Stale, Unknown
from mouldwright.usecases.kept import Asked, Reply, ShopVersion
from mouldwright.usecases.moulds_and_ways import following
from mouldwright.usecases.once import once, reply_before
from mouldwright.usecases.ports import Units, Writing, Written
from mouldwright.usecases.shelf import next_version, read_version

Path = tuple[str, ...]
_ATTEMPTS = 4


class Overtaken(Stale):
    """Someone else changed the same entry since it was read.

    Attributes:
        holds_version: The version of the shop that holds.
        was: The entry as it was read, None where there was none.
        theirs: The entry as it holds, None where it is gone.
    """

    def __init__(self, *, read: int, holds_version: int, was: Any, theirs: Any) -> None:
        """Keep both."""
        self.holds_version, self.was, self.theirs = holds_version, was, theirs
        super().__init__(read=f"version {read}", holds=f"version {holds_version}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What is to be changed.

    Attributes:
        path: Leads to the entry: ("parts", "stabiliser"), ("shop",).
        entry: What it shall be, as JSON; None takes it out.
        read: The version of the shop in which it was read.
        now: Zone-aware.
        by: Id of the token that changes it.
    """

    path: Path
    entry: str | None
    read: int
    now: datetime
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What came of a change.

    Attributes:
        also: What followed from it, a sentence each; empty where it had been done before.
    """

    reply: Reply
    also: tuple[str, ...] = ()


def shop_with(
    written: Written, document: str, path: Path, entry: str | None
) -> tuple[Shop, tuple[str, ...]]:
    """Return a kept shop with an entry written anew or taken out, and what follows from that.

    Raises:
        InvalidInput: if anything in the shop is then wrong.
    """
    root = json.loads(document)
    table = root
    for step in path[:-1]:
        table = table.setdefault(step, {})
    if entry is None:
        table.pop(path[-1], None)
    else:
        table[path[-1]] = json.loads(entry)
    more = following(root, path)
    changes = [(path, entry), *((p, None if e is None else json.dumps(e)) for p, e, _ in more)]
    return written.changed(document, changes), tuple(said for *_, said in more)


def entry_at(document: str, path: Path) -> Any:
    """Return an entry of a kept document, None where it is not there."""
    node: Any = json.loads(document)
    for step in path:
        node = node.get(step) if isinstance(node, dict) else None
    return node


def change_entry(
    units: Units,
    written: Written,
    shop: str,
    change: Change,
    *,
    asked: Asked,
    reply: Callable[[int], Reply],
) -> Done:
    """Write an entry, or take it out, once however often it is asked.

    Args:
        units: Where the shop is kept.
        written: Reads and writes it.
        shop: Which shop.
        change: What of it.
        asked: Who asks, under which key.
        reply: Gives the reply, told the version that holds then; the same one as before
            where the entry was so already.

    Raises:
        Unknown: if there is no such shop, or nothing to take out.
        InvalidInput: if anything in the shop is then wrong.
        Overtaken: if the entry was changed since it was read.
        Stale: if others keep changing the shop.
    """
    before = reply_before(units, shop, asked)
    if before is not None:
        return Done(reply=before)
    for _ in range(_ATTEMPTS):
        holds = read_version(units, shop)
        _check(units, holds, change)
        # Examining the shop takes its time: no unit is open meanwhile.
        changed, also = shop_with(written, holds.document, change.path, change.entry)
        before_it = written.read(holds.document)
        changed = remembering(before_it, changed)
        following = None if changed == before_it else changed
        work = _work(written, holds, following, change, reply)
        try:
            return Done(reply=once(units.write(shop), asked, work, now=change.now), also=also)
        except Stale as stale:
            overtaken = stale
    raise overtaken


def _work(
    written: Written,
    holds: ShopVersion,
    following: Shop | None,
    change: Change,
    reply: Callable[[int], Reply],
) -> Callable[[Writing], Reply]:
    """Return what writes the shop that follows, None for no other, and replies."""
    document = written.document(following) if following is not None else ""

    def work(unit: Writing) -> Reply:
        if following is None:
            return reply(holds.version)
        version = next_version(
            unit.shops,
            following,
            document,
            key=holds.key,
            read=holds.version,
            now=change.now,
            by=change.by,
            # The rest of the document was read before, with whatever names stood in it.
            erasures=holds.erasures,
        )
        unit.shops.write(version)
        return reply(version.version)

    return work


def _check(units: Units, holds: ShopVersion, change: Change) -> None:
    theirs = entry_at(holds.document, change.path)
    if change.read != holds.version:
        was = entry_at(read_version(units, holds.key, change.read).document, change.path)
        if was != theirs:
            raise Overtaken(read=change.read, holds_version=holds.version, was=was, theirs=theirs)
    if change.entry is None and theirs is None:
        raise Unknown(kind="entry", key=".".join(change.path))


def undo_change(
    units: Units,
    written: Written,
    shop: str,
    change: Change,
    *,
    asked: Asked,
    reply: Callable[[int], Reply],
) -> Done:
    """Put back what was before a change: all that followed from it too, where nobody came after.

    Args:
        units: Where the shop is kept.
        written: Reads and writes it.
        shop: Which shop.
        change: The entry, and the version that the change made; ``entry`` is passed over.
        asked: Who asks, under which key.
        reply: Gives the reply, told the version that holds then.

    Raises:
        Unknown: if there is no such version, or none before it.
        Overtaken: if the entry was changed since.
        Stale: if others keep changing the shop.
    """
    before = read_version(units, shop, change.read - 1)
    holds = read_version(units, shop)
    if holds.version != change.read:
        entry = _before_it(before, change.path)
        back = replace(change, entry=entry)
        return change_entry(units, written, shop, back, asked=asked, reply=reply)
    work = _work(written, holds, written.read(before.document), change, reply)
    return Done(reply=once(units.write(shop), asked, work, now=change.now))


def _before_it(before: ShopVersion, path: Path) -> str | None:
    """Return an entry as a version has it, as JSON; None where there was none."""
    entry = entry_at(before.document, path)
    return None if entry is None else json.dumps(entry, ensure_ascii=False)
