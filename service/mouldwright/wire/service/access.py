"""Signing in, and tokens."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field
from pydantic.config import JsonDict

_TOKEN: JsonDict = {
    "id": "q3Jw0bX9sTnLzE5a",
    "shop": "my-bench",
    "role": "planner",
    "label": "tablet at the press",
    "issued_at": "2027-03-01T08:30:00Z",
    "expires_at": "2027-05-30T08:30:00Z",
    "revoked_at": None,
}


class SignInAsk(BaseModel):
    """The code of a one-time link."""

    model_config = ConfigDict(
        extra="forbid", json_schema_extra={"examples": [{"code": "3vYb0c6hJ8mQ1rT5wX9z"}]}
    )

    code: str = Field(min_length=1, max_length=200, description="as the link carries it")


class TokenAsk(BaseModel):
    """A token to be issued for a shop."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={"examples": [{"role": "bench", "label": "tablet at the press"}]},
    )

    role: Literal["owner", "planner", "bench", "viewer"] = Field(description="how far it reaches")
    label: str = Field(min_length=1, max_length=200, description="whose it is")
    days: int | None = Field(
        default=None, ge=1, le=3650, description="how long it holds; left out, as the service says"
    )


class TokenAnswer(BaseModel):
    """A token without its secret."""

    model_config = ConfigDict(json_schema_extra={"examples": [_TOKEN]})

    id: str
    shop: str | None = Field(description="the one shop it opens; null for a keeper")
    role: Literal["keeper", "owner", "planner", "bench", "viewer"]
    label: str
    issued_at: datetime
    expires_at: datetime
    revoked_at: datetime | None


class IssuedAnswer(BaseModel):
    """A token with its secret, shown this once."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [{"token": _TOKEN, "secret": "nXh2m0Qe8pVtKzL5rS9wYb3uGd7fJc1a"}]
        }
    )

    token: TokenAnswer
    secret: str | None = Field(
        description="send it as `Authorization: Bearer ...`; null where it was shown before"
    )


class SignedOutAnswer(BaseModel):
    """What ended when everyone was signed out of a shop."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"browsers": 3, "tokens": 0, "links": 1}]}
    )

    browsers: int = Field(description="sessions that a sign-in link gave")
    tokens: int = Field(description="issued for tablets and programs")
    links: int = Field(description="sign-in links that nobody had opened yet")


class TokenList(BaseModel):
    """The tokens of a shop, the oldest first."""

    tokens: list[TokenAnswer]
