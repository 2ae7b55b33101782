"""Shops kept: added from a scenario, read, replaced, and handed out again."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from mouldwright.domain.errors import Conflict, Fault, InvalidInput
from mouldwright.domain.record.log import LogEntry
from mouldwright.domain.shop import Shop
from mouldwright.usecases.errors import Stale
from mouldwright.usecases.kept import ShopVersion
from mouldwright.usecases.ports import HouseWriting, Shops, Units, Written

_SHOP_KEY = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptShop:
    """A shop as one version of it says."""

    version: ShopVersion
    shop: Shop


def list_shops(units: Units, *, only: str | None) -> tuple[ShopVersion, ...]:
    """Return the version of each shop that holds, in order of their keys.

    Args:
        units: Where they are kept.
        only: Key of the one shop wanted; None for all of them.
    """
    if only is not None:
        return (read_version(units, only),)
    with units.read_house() as unit:
        return unit.house.shops()


def read_version(units: Units, key: str, version: int | None = None) -> ShopVersion:
    """Return the version that holds, or an earlier one. Raises Unknown."""
    with units.read(key) as unit:
        return unit.shops.now() if version is None else unit.shops.at(version)


def open_kept(units: Units, written: Written, key: str, *, version: int | None = None) -> KeptShop:
    """Return a shop as it holds, or as an earlier version said.

    Raises:
        Unknown: if there is no such shop or version.
    """
    found = read_version(units, key, version)
    # Reading the document takes its time: the unit is closed by then.
    return KeptShop(version=found, shop=written.read(found.document))


def open_whole(units: Units, written: Written, key: str) -> KeptShop:
    """Return a shop as it holds, with its log. Raises Unknown."""
    with units.read(key) as unit:
        found, log = unit.shops.now(), unit.log.all()
    return KeptShop(version=found, shop=replace(written.read(found.document), log=log))


def log_mark(kept: KeptShop) -> str:
    """Return the mark of a shop's version and of how far its log has come."""
    log = kept.shop.log
    return f"{kept.version.mark}.{log[-1].number}" if log else kept.version.mark


def check_key(key: str) -> None:
    """Let a new shop's key pass. Raises InvalidInput where it is none."""
    if not _SHOP_KEY.fullmatch(key):
        raise InvalidInput(
            [
                Fault(
                    path="key",
                    value=key,
                    problem="a shop's key is 1 to 63 small letters, digits and inner hyphens.",
                    remedy=f"Write {_suggested(key)}.",
                )
            ]
        )


def first_version(key: str, shop: Shop, document: str, *, now: datetime, by: str) -> ShopVersion:
    """Return the first version of a new shop.

    Args:
        key: Names it for good, in addresses too.
        shop: What it is.
        document: The same, written.
        now: Zone-aware.
        by: Id of the token that adds it.

    Raises:
        InvalidInput: if the key is none.
    """
    check_key(key)
    return ShopVersion(
        key=key, version=1, title=shop.name, document=document, written_at=now, written_by=by
    )


def add(unit: HouseWriting, first: ShopVersion, log: Sequence[LogEntry] = ()) -> None:
    """Keep a new shop and the log it comes with. Raises AlreadyThere where the key is taken."""
    unit.house.add_shop(first, log)


def replace_kept(
    units: Units,
    written: Written,
    key: str,
    shop: Shop,
    *,
    read: int,
    now: datetime,
    by: str,
    erasures: int | None = None,
) -> ShopVersion:
    """Write a shop anew over the version that was read.

    Args:
        units: Where it is kept.
        written: Writes it down.
        key: Which shop.
        shop: What it shall be.
        read: The version its writer had read.
        now: Zone-aware.
        by: Id of the token that changes it.
        erasures: As ``next_version`` has it.

    Raises:
        Unknown: if there is no such shop.
        Stale: if it was changed since.
        Conflict: if its log is not the one kept, or one that goes on from it.
    """
    document = written.document(shop)
    with units.write(key) as unit:
        unit.log.bring(_log_from(unit.log.all() if shop.log else (), shop.log))
        version = next_version(
            unit.shops, shop, document, key=key, read=read, now=now, by=by, erasures=erasures
        )
        unit.shops.write(version)
        unit.commit()
    return version


def _log_from(kept: Sequence[LogEntry], brought: Sequence[LogEntry]) -> Sequence[LogEntry]:
    """Return the entries of a log that are not kept yet.

    Raises:
        Conflict: if one differs from the entry kept under its number.
    """
    for ours, theirs in zip(kept, brought, strict=False):
        if ours != theirs:
            raise Conflict(
                f"Entry {ours.number} of the log is not the one kept; no entry is ever changed.",
                remedy="Leave the log out of the file, or keep it as a shop of its own.",
                stands="another log",
            )
    return brought[len(kept) :]


def next_version(
    shops: Shops,
    shop: Shop,
    document: str,
    *,
    key: str,
    read: int,
    now: datetime,
    by: str,
    erasures: int | None = None,
) -> ShopVersion:
    """Return the version after the one that was read.

    Args:
        shops: Of an open unit of work that writes.
        shop: What it shall be.
        document: The same, written.
        key: Which shop.
        read: The version its writer had read.
        now: Zone-aware.
        by: Id of the token that changes it.
        erasures: How often a customer had been erased when it was read; None where no name
            can come back with what is written.

    Raises:
        Stale: if another one holds by now, or a customer was erased from it meanwhile.
    """
    holds = shops.version()
    if holds != read or erasures not in (None, shops.erasures()):
        raise Stale(read=f"version {read}", holds=f"version {holds}")
    return ShopVersion(
        key=key,
        version=holds + 1,
        title=shop.name,
        document=document,
        written_at=now,
        written_by=by,
        erasures=shops.erasures(),
    )


def _suggested(key: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", key.lower())[:63].strip("-") or "my-bench"
