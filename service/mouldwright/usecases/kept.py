"""Values that are kept: what the store takes in and gives back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum


class Role(StrEnum):
    """How far a token reaches; each reaches as far as those after it, and further."""

    KEEPER = "keeper"
    OWNER = "owner"
    PLANNER = "planner"
    BENCH = "bench"
    VIEWER = "viewer"

    def reaches(self, needed: Role) -> bool:
        """Return whether this role may do what takes the other."""
        ranks = list(Role)
        return ranks.index(self) <= ranks.index(needed)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopVersion:
    """A shop as it was written at one time.

    Attributes:
        key: Names the shop for good.
        version: From 1, one more with every change.
        title: The shop's name.
        document: The scenario, as JSON.
        written_at: When, zone-aware.
        written_by: Id of the token.
        erasures: How often a customer was erased from the shop; the one change that is made
            to a version already written.
    """

    key: str
    version: int
    title: str
    document: str
    written_at: datetime
    written_by: str
    erasures: int = 0

    @property
    def mark(self) -> str:
        """Return a word that changes with whatever may change in it: "3", or "3-1" once erased."""
        return f"{self.version}-{self.erasures}" if self.erasures else str(self.version)


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """A token, without its secret.

    Attributes:
        shop: The one shop it opens; None for a keeper, who has them all.
        revoked_at: When it was withdrawn, None while it was not.
    """

    id: str
    shop: str | None
    role: Role
    label: str
    issued_at: datetime
    expires_at: datetime
    revoked_at: datetime | None = None

    def holds(self, now: datetime) -> bool:
        """Return whether it opens anything now."""
        return self.revoked_at is None and now < self.expires_at


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """What a one-time link leads to: a token of this shop and role."""

    shop: str | None
    role: Role
    expires_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """The runs that no worker has taken up yet.

    Attributes:
        since: When the one that waits longest was asked for; None where none waits.
    """

    runs: int
    since: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """An answer as it goes out, so that it can be given again."""

    status: int
    body: str
    headers: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A request that makes something and must do so once.

    Attributes:
        caller: Id of the token that asks.
        key: The caller's own key for it.
        fingerprint: Digest of all that was asked.
    """

    caller: str
    key: str
    fingerprint: str
