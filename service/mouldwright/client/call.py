"""One thing to ask of the service, as plain values: nothing here speaks to anyone."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from urllib.parse import quote

from pydantic import BaseModel

from mouldwright.wire.json_text import json_text
from mouldwright.wire.model import Model


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One thing to ask.

    Attributes:
        body: What is sent: a model, or JSON as it goes out; None for nothing.
        query: Left out where a value is None.
        etag: State that was read; it is changed only from that one.
        key: Makes it once, however often it is asked; None where nothing is made.
        keeps_nothing: Whether it is a question that changes nothing, though it has a body.
        headers: Any further ones.
    """

    method: str
    path: str
    body: BaseModel | str | None = None
    query: Mapping[str, str | int | bool | None] = field(default_factory=dict)
    etag: str | None = None
    key: str | None = None
    keeps_nothing: bool = False
    headers: Mapping[str, str] = field(default_factory=dict)

    @property
    def changes_nothing(self) -> bool:
        """Return whether everything is afterwards as it was."""
        return self.keeps_nothing or self.method in ("GET", "HEAD")

    @property
    def may_be_repeated(self) -> bool:
        """Return whether asking twice does no more than asking once.

        A change from a state that was read is not among them: if the first one was done
        and its answer lost, the second would be told that someone else was there first.
        """
        if self.changes_nothing or self.key is not None:
            return True
        return self.method in ("PUT", "DELETE") and self.etag is None

    def sent_headers(self) -> dict[str, str]:
        """Return the headers that go with it."""
        sent = {"Accept": "application/json, application/problem+json", **self.headers}
        if self.body is not None:
            sent["Content-Type"] = "application/json"
        if self.etag is not None:
            sent["If-Match"] = self.etag
        if self.key is not None:
            sent["Idempotency-Key"] = self.key
        return sent

    def sent_query(self) -> dict[str, str | int]:
        """Return what follows the path."""
        return {
            name: str(value).lower() if isinstance(value, bool) else value
            for name, value in self.query.items()
            if value is not None
        }

    def sent_body(self) -> bytes | None:
        """Return the body as it goes out: what is left out of a question stays left out."""
        if isinstance(self.body, Model):
            return json_text(self.body.model_dump(by_alias=True, exclude_unset=True)).encode()
        if isinstance(self.body, BaseModel):
            return self.body.model_dump_json(exclude_unset=True).encode()
        return None if self.body is None else self.body.encode()


def new_key() -> str:
    """Return a key that nothing was made with before."""
    return secrets.token_urlsafe(24)


def segment(key: str | int) -> str:
    """Return a key as one step of a path, whatever it is made of."""
    return quote(str(key), safe="")
