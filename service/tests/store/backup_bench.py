"""Taking backups and putting them back in a few words."""

from __future__ import annotations

from promise_bench import NOW

from mouldwright.store.backups import StoreBackups

KINDS = ("sqlite", "postgresql")


def backups(url: str) -> StoreBackups:
    return StoreBackups(url, lambda: NOW)


def restored(file, url: str, *, replace: bool = False, withdraw_tokens: bool = False):
    return backups(url).put_back(file, replace=replace, withdraw_tokens=withdraw_tokens)


def taken(bench, tmp_path):
    file = tmp_path / "bench.backup"
    return file, backups(bench.url).take(file)
