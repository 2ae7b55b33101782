"""An address at which a calendar or a reader of news looks again and again, as it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from mouldwright.domain.calendar_event import KeptEvent

FeedKind = Literal["calendar", "notices"]
FeedAbout = Literal["shop", "person", "mould", "station"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """An address that gives one feed of one shop and nothing else, without its secret.

    Attributes:
        kind: What it gives: a calendar of the plan, or what waits for someone.
        about: What of the shop.
        key: Key of the person or station, name of the mould; empty for the whole shop.
        label: Whose it is, in their words.
        made_by: Id of the token that made it.
        revoked_at: When it was withdrawn, None while it was not.
    """

    id: str
    shop: str
    kind: FeedKind
    about: FeedAbout
    key: str
    label: str
    made_by: str
    made_at: datetime
    revoked_at: datetime | None = None

    @property
    def holds(self) -> bool:
        """Return whether it gives anything."""
        return self.revoked_at is None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldEvents:
    """What the calendars of a shop were last told.

    Attributes:
        mark: Of the plan and the shop it was told from; empty where nothing was told.
        version: From 0, one more each time anything changed.
        events: By uid.
    """

    mark: str = ""
    version: int = 0
    events: Mapping[str, KeptEvent] = field(default_factory=dict)
