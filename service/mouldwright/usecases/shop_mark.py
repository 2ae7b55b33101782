"""A shop's mark, put or taken away: a version of the shop by itself, so that it can be undone."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from mouldwright.usecases.kept import ShopVersion
from mouldwright.usecases.services import Services
from mouldwright.usecases.shelf import open_whole, replace_kept


def keep_mark(
    services: Services, key: str, mark: str, *, read: int, now: datetime, by: str
) -> ShopVersion:
    """Keep a mark with a shop; one that it has already makes no new version.

    Args:
        services: Where it is kept.
        key: Of the shop.
        mark: Text of an SVG that was checked; empty takes it away.
        read: The version its writer had read.
        now: Zone-aware.
        by: Id of the token that changes it.

    Raises:
        Unknown: if there is no such shop.
        Stale: if it was changed since.
    """
    kept = open_whole(services.units, services.written, key)
    if kept.shop.mark == mark:
        return kept.version
    shop = replace(kept.shop, mark=mark)
    return replace_kept(services.units, services.written, key, shop, read=read, now=now, by=by)
