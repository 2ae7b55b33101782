"""A customer's link to one quote."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field
from pydantic.config import JsonDict

_LINK: JsonDict = {
    "id": "q3Jw0bX9sTnLzE5a",
    "quote": 7,
    "may_answer": True,
    "made_at": "2027-03-01T08:30:00Z",
    "expires_at": "2027-03-31T08:30:00Z",
    "revoked_at": None,
    "answer": None,
    "answered_at": None,
}


class LinkAsk(BaseModel):
    """A link to be made to a quote."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"days": 14}]})

    days: int | None = Field(
        default=None, ge=1, le=365, description="how long it holds; left out, 30"
    )
    may_answer: bool = Field(
        default=True, description="whether whoever holds it may accept or decline"
    )


class LinkAnswer(BaseModel):
    """A link without its secret."""

    model_config = ConfigDict(json_schema_extra={"examples": [_LINK]})

    id: str
    quote: int = Field(description="the one quote it opens")
    may_answer: bool
    made_at: datetime
    expires_at: datetime
    revoked_at: datetime | None
    answer: Literal["accepted", "declined"] | None = Field(
        description="what was answered by it last; null where nothing was"
    )
    answered_at: datetime | None


class MadeLinkAnswer(BaseModel):
    """A link with the path of its page, shown this once."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [{"link": _LINK, "path": "/q/nXh2m0Qe8pVtKzL5rS9wYb3uGd7fJc1a"}]
        }
    )

    link: LinkAnswer
    path: str | None = Field(
        description="below the service's own address; null where it was shown before"
    )


class LinkList(BaseModel):
    """The links to a quote, the oldest first."""

    links: list[LinkAnswer]
