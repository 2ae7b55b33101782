"""A feed: an address at which a calendar, or a reader of news, looks by itself."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field
from pydantic.config import JsonDict

FeedKind = Literal["calendar", "notices"]
FeedAbout = Literal["shop", "person", "mould", "station"]

_FEED: JsonDict = {
    "id": "q3Jw0bX9sTnLzE5a",
    "kind": "calendar",
    "about": "person",
    "key": "ines",
    "label": "her telephone",
    "made_at": "2027-03-01T08:30:00Z",
    "revoked_at": None,
}


class FeedAsk(BaseModel):
    """A feed to be made."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [
                {"about": "person", "key": "ines", "label": "her telephone"},
                {"kind": "notices"},
            ]
        },
    )

    kind: FeedKind = Field(
        default="calendar", description="the plan as a calendar, or what waits for someone"
    )
    about: FeedAbout = Field(
        default="shop", description="what of the shop; of notices, the whole shop alone"
    )
    key: str = Field(
        default="",
        max_length=250,
        description="key of the person or station, name of the mould or unit; empty for the shop",
    )
    label: str = Field(default="", max_length=200, description="whose it is, in your words")


class FeedAnswer(BaseModel):
    """A feed without its secret."""

    model_config = ConfigDict(json_schema_extra={"examples": [_FEED]})

    id: str
    kind: FeedKind
    about: FeedAbout
    key: str
    label: str
    made_at: datetime
    revoked_at: datetime | None = Field(description="when it was withdrawn; null while it was not")


class MadeFeedAnswer(BaseModel):
    """A feed with its path, shown this once."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "feed": _FEED,
                    "path": "/v1/feeds/nXh2m0Qe8pVtKzL5rS9wYb3uGd7fJc1a/calendar.ics",
                }
            ]
        }
    )

    feed: FeedAnswer
    path: str | None = Field(
        description="below the service's own address; null where it was shown before"
    )


class FeedList(BaseModel):
    """The feeds of a shop, the oldest first."""

    feeds: list[FeedAnswer]
