"""Who changed what."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.record.audit_entry import AuditEntry

_ENTRY: dict[str, Any] = {
    "number": 31,
    "at": "2027-03-01T08:30:00Z",
    "by": "tablet at the press",
    "role": "planner",
    "token": "q3Jw0bX9sTnLzE5a",
    "request": "9f2c7a41d08e6b35",
    "verb": "changed",
    "thing": "order",
    "key": "Q3",
    "changes": [{"what": "quantity", "before": "12", "after": "14"}],
    "left_out": 0,
}


class ChangedAnswer(BaseModel):
    """One value of a thing before and after."""

    what: str = Field(description="its name, or the keys that lead to it in the shop")
    before: str | None = Field(description="null where there was none, or it is not told")
    after: str | None = Field(description="null where there is none now, or it is not told")


class AuditEntryAnswer(BaseModel):
    """One change, and who made it."""

    model_config = ConfigDict(json_schema_extra={"examples": [_ENTRY]})

    number: int = Field(description="from 1 for each shop, without a gap")
    at: datetime
    by: str = Field(description="whose token it was, in words")
    role: str = Field(description="how far it reached; empty where nobody asked with a token")
    token: str = Field(description="its id; empty for the service itself")
    request: str = Field(description="X-Request-Id of the answer; empty where there was no request")
    verb: Literal["added", "changed", "removed", "erased"]
    thing: str = Field(description="what kind of thing it is")
    key: str = Field(description="which one")
    changes: list[ChangedAnswer] = Field(
        description="a customer's name, notes and secrets are never told"
    )
    left_out: int = Field(description="how many more values changed")

    @classmethod
    def of(cls, entry: AuditEntry) -> AuditEntryAnswer:
        """Return the answer of an entry."""
        return cls(
            number=entry.number,
            at=entry.at,
            by=entry.actor.label,
            role=entry.actor.role,
            token=entry.actor.token,
            request=entry.actor.request,
            verb=entry.verb,
            thing=entry.thing,
            key=entry.key,
            changes=[
                ChangedAnswer(what=each.what, before=each.before, after=each.after)
                for each in entry.changes
            ],
            left_out=entry.left_out,
        )


class AuditList(BaseModel):
    """Who changed what, the newest first."""

    entries: list[AuditEntryAnswer]
    next: str | None = Field(description="cursor of the next page; null at the end")
