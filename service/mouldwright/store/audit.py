"""Notes what a unit of work changes, and keeps it in the unit's own transaction.

What is put into a session, changed in it or deleted from it is noted by itself. A statement that
changes rows without loading them must say that it is untold, or it is refused.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import event, func, inspect, select
from sqlalchemy.orm import ORMExecuteState
from sqlmodel import Session, col

from mouldwright.domain.record.audit_entry import Actor, Changed, Verb
from mouldwright.store.tables import AuditRow, ShopRow, ShopVersionRow
from mouldwright.store.told import APART, HIDDEN, TOLD, UNTOLD
from mouldwright.usecases.audit import HOUSE, MOST_CHANGES, THE_SERVICE, differences, short

_UNTOLD = "mouldwright_untold"
# More things of one kind that are added at once, such as the log a shop comes with, are one entry.
_MOST_OF_A_KIND = 20


def untold(why: str) -> dict[str, str]:
    """Return the execution options of a statement whose changes are told elsewhere, or to no one.

    Args:
        why: For whoever reads the code.
    """
    return {_UNTOLD: why}


class Noted:
    """What one unit of work changed so far."""

    def __init__(
        self,
        session: Session,
        actor: Actor = THE_SERVICE,
        clock: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        """Listen to a session."""
        self._session, self._actor, self._clock = session, actor, clock
        # By shop, thing and key, in the order in which each was first changed.
        self._verbs: dict[tuple[str, str, str], Verb] = {}
        self._values: dict[tuple[str, str, str], dict[str, Changed]] = {}
        event.listen(session, "before_flush", self._before_flush)
        event.listen(session, "do_orm_execute", _must_be_told)

    def note(self, shop: str, verb: Verb, thing: str, key: str, changes: list[Changed]) -> None:
        """Note a change; one of the same thing is put together with those before."""
        at = (shop, thing, key)
        self._verbs.setdefault(at, verb)
        if verb in ("removed", "erased"):
            self._verbs[at] = verb
        values = self._values.setdefault(at, {})
        for each in changes:
            first = values.get(each.what, each)
            values[each.what] = Changed(what=each.what, before=first.before, after=each.after)

    def keep(self) -> None:
        """Keep what was noted under the next numbers of each shop; commits nothing."""
        self._session.flush()
        now = self._clock()
        self._put_together()
        by_shop: dict[str, list[tuple[str, str, str]]] = {}
        for at in self._verbs:
            by_shop.setdefault(at[0], []).append(at)
        for shop, noted in sorted(by_shop.items()):
            first = self._next(shop)
            self._session.add_all(
                self._row(at, number, now) for number, at in enumerate(noted, start=first)
            )
        self._verbs, self._values = {}, {}
        self._session.flush()

    def _put_together(self) -> None:
        kinds: dict[tuple[str, str], list[str]] = {}
        for (shop, thing, key), verb in self._verbs.items():
            if verb == "added":
                kinds.setdefault((shop, thing), []).append(key)
        for (shop, thing), keys in kinds.items():
            if len(keys) > _MOST_OF_A_KIND:
                for key in keys:
                    del self._verbs[shop, thing, key], self._values[shop, thing, key]
                many = Changed(what="how many", before=None, after=str(len(keys)))
                self.note(shop, "added", thing, f"{keys[0]} to {keys[-1]}", [many])

    def _next(self, shop: str) -> int:
        """Return the next number, which no other unit draws: this one is alone with the shop."""
        if shop != HOUSE:
            # A unit of the house is alone with the house; it takes the shop's row too.
            self._session.execute(
                select(col(ShopRow.key)).where(col(ShopRow.key) == shop).with_for_update()
            )
        last = self._session.scalar(
            select(func.max(col(AuditRow.number))).where(col(AuditRow.shop) == shop)
        )
        return (last or 0) + 1

    def _row(self, at: tuple[str, str, str], number: int, now: datetime) -> AuditRow:
        shop, thing, key = at
        changes = [each for each in self._values[at].values() if _is_one(each)]
        told = [[each.what, each.before, each.after] for each in changes[:MOST_CHANGES]]
        return AuditRow(
            shop=shop,
            number=number,
            at=now,
            token=self._actor.token,
            label=self._actor.label,
            role=self._actor.role,
            request=self._actor.request,
            verb=self._verbs[at],
            thing=thing,
            key=key,
            changes=json.dumps(told, ensure_ascii=False),
            left_out=max(0, len(changes) - MOST_CHANGES),
        )

    def _before_flush(self, session: Session, *_: object) -> None:
        for row in session.new:
            self._note_row(row, "added")
        for row in session.dirty:
            if session.is_modified(row):
                self._note_row(row, "changed")
        for row in session.deleted:
            self._note_row(row, "removed")

    def _note_row(self, row: Any, verb: Verb) -> None:
        if type(row) in UNTOLD:
            return
        told = TOLD[type(row)]
        if isinstance(row, ShopVersionRow):
            changes = self._of_version(row)
            verb = "added" if row.version == 1 else "changed"
        else:
            changes = [_change(row, name, verb) for name in told.shown]
        if verb == "changed" and not any(map(_is_one, changes)):
            return
        self.note(row.shop or HOUSE, verb, told.thing, told.key(row), changes)

    def _of_version(self, row: ShopVersionRow) -> list[Changed]:
        if row.version == 1:
            return []
        with self._session.no_autoflush:
            before = self._session.scalar(
                select(col(ShopVersionRow.document)).where(
                    col(ShopVersionRow.shop) == row.shop,
                    col(ShopVersionRow.version) == row.version - 1,
                )
            )
        return differences(_document(before or "{}"), _document(row.document), HIDDEN)


def _document(text: str) -> dict[str, object]:
    return {key: value for key, value in json.loads(text).items() if key not in APART}


def _is_one(change: Changed) -> bool:
    """Return whether a value differs; two that are hidden do."""
    return change.before != change.after or change.what.split(".")[-1] in HIDDEN


def _change(row: Any, name: str, verb: Verb) -> Changed:
    history = inspect(row).attrs[name].history
    now = _text(getattr(row, name))
    if verb == "added":
        return Changed(what=name, before=None, after=now)
    if verb == "removed":
        return Changed(what=name, before=now, after=None)
    before = _text(history.deleted[0]) if history.deleted else now
    return Changed(what=name, before=before, after=now)


def _text(value: object) -> str | None:
    if value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    if isinstance(value, date):
        return value.isoformat()
    return short(str(value))


def _must_be_told(state: ORMExecuteState) -> None:
    """Refuse a statement that would change rows that are told, unknown to the session.

    Raises:
        RuntimeError: if it does not say that it is untold.
    """
    if not (state.is_update or state.is_delete) or _UNTOLD in state.execution_options:
        return
    mapper = state.bind_mapper
    if mapper is not None and mapper.class_ in TOLD:
        raise RuntimeError(f"a statement changes rows of {mapper.class_.__name__} untold")
