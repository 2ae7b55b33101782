"""What the use cases need from outside."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from datetime import datetime
from typing import Protocol, Self

from mouldwright.domain.record.audit_entry import Actor, Changed, Verb
from mouldwright.domain.record.log import LogEntry
from mouldwright.domain.shop import Shop
from mouldwright.usecases.audit import Audit
from mouldwright.usecases.diagnosis import Work
from mouldwright.usecases.kept import Asked, Reply, ShopVersion, SignIn, Token
from mouldwright.usecases.kept_feed import Feed
from mouldwright.usecases.kept_link import QuoteLink
from mouldwright.usecases.log_port import Log


class Clock(Protocol):
    """Tells the time."""

    def __call__(self) -> datetime:
        """Return the zone-aware present."""
        ...


class Chance(Protocol):
    """Makes what nobody can guess."""

    def __call__(self) -> str:
        """Return a fresh text of at least 128 random bits, safe in a url."""
        ...


class Written(Protocol):
    """Turns a shop into a document and back."""

    def read(self, document: str) -> Shop:
        """Return the shop of a kept document.

        Raises:
            InvalidInput: if anything in it is wrong; carries every fault.
        """
        ...

    def read_toml(self, text: str) -> Shop:
        """Return the shop of a TOML text. Raises InvalidInput with every fault."""
        ...

    def edited(self, document: str, section: str, key: str, entry: str | None) -> Shop:
        """Return the shop of a document with one entry put in, put anew or taken out (None).

        Raises:
            InvalidInput: if anything is then wrong, there or elsewhere.
        """
        ...

    def changed(self, document: str, changes: Sequence[tuple[tuple[str, ...], str | None]]) -> Shop:
        """Return the shop of a document with what stands at some paths written anew or taken out.

        Args:
            document: As kept.
            changes: Keys that lead to each, such as ("parts", "stabiliser"), and what it shall
                be, as JSON; None takes it out.

        Raises:
            InvalidInput: if anything is then wrong, there or elsewhere.
        """
        ...

    def entry_toml(self, document: str, path: tuple[str, ...]) -> str:
        """Return one entry of a kept document as TOML; empty where it is not there."""
        ...

    def entry_of_toml(self, text: str) -> str:
        """Return one entry, written as TOML, as JSON. Raises InvalidInput where it is no TOML."""
        ...

    def document(self, shop: Shop) -> str:
        """Return a shop as JSON that reads back to an equal shop, but for its log.

        The log is kept apart, entry by entry.
        """
        ...

    def whole_document(self, shop: Shop) -> str:
        """Return a shop as JSON that reads back to an equal shop, its log too."""
        ...

    def toml(self, shop: Shop) -> str:
        """Return a shop as TOML that reads back to an equal shop, its log too."""
        ...


class Shops(Protocol):
    """Every version of the one shop a unit was opened for."""

    def now(self) -> ShopVersion:
        """Return the version that holds. Raises Unknown where there is no such shop."""
        ...

    def at(self, version: int) -> ShopVersion:
        """Return an earlier version. Raises Unknown where there is none."""
        ...

    def version(self) -> int:
        """Return the number of the version that holds. Raises Unknown."""
        ...

    def erasures(self) -> int:
        """Return how often a customer was erased from the versions."""
        ...

    def write(self, version: ShopVersion) -> None:
        """Keep a version and let it hold."""
        ...

    def forget_customer(self, customer: str) -> int:
        """Erase a customer's name from every version; return in how many it stood."""
        ...


class Tokens(Protocol):
    """Tokens of the one shop a unit was opened for; of every shop, for a keeper's unit."""

    def issue(self, token: Token, secret_hash: str) -> None:
        """Keep a token."""
        ...

    def by_id(self, token_id: str) -> Token:
        """Return a token. Raises Unknown."""
        ...

    def end_by(self, token_id: str, at: datetime) -> None:
        """Let a token expire no later than an instant. Raises Unknown."""
        ...

    def revoke(self, token_id: str, at: datetime) -> None:
        """Withdraw a token for good. Raises Unknown."""
        ...

    def listed(self) -> tuple[Token, ...]:
        """Return all of them, the oldest first."""
        ...

    def lapse_sign_ins(self, at: datetime) -> int:
        """Let every sign-in link not opened yet lapse; return how many there were.

        Those of the unit's shop; for a keeper's unit those of keepers alone.
        """
        ...


class Replies(Protocol):
    """Replies to requests that must be done once."""

    def find(self, asked: Asked) -> Reply | None:
        """Return the reply given before. Raises KeyReused where something else was asked."""
        ...

    def keep(self, asked: Asked, reply: Reply, at: datetime) -> None:
        """Keep a reply. Raises KeyReused where the caller's key was used for another shop."""
        ...

    def forget_customer(self, customer: str, *, shop: str) -> None:
        """Erase a customer's name from replies to those who may ask a shop."""
        ...

    def forget_before(self, instant: datetime) -> int:
        """Remove replies kept before an instant; return how many there were."""
        ...


class House(Protocol):
    """What belongs to no one shop; open to keepers, and to whoever knocks to be let in."""

    def shops(self) -> tuple[ShopVersion, ...]:
        """Return the version of each shop that holds, in order of their keys."""
        ...

    def add_shop(self, first: ShopVersion, log: Sequence[LogEntry] = ()) -> None:
        """Keep a new shop and the log it comes with. Raises AlreadyThere where the key is taken."""
        ...

    def work(self, now: datetime) -> Work:
        """Return how the runs of all shops stand at an instant."""
        ...

    def token_by_secret(self, secret_hash: str) -> Token | None:
        """Return the token a secret belongs to, None where it belongs to none."""
        ...

    def link_by_secret(self, secret_hash: str) -> QuoteLink | None:
        """Return the link to a quote that a secret belongs to, None where it belongs to none."""
        ...

    def feed_by_secret(self, secret_hash: str) -> Feed | None:
        """Return the feed that a secret belongs to, None where it belongs to none."""
        ...

    def promise_sign_in(self, sign_in: SignIn, code_hash: str) -> None:
        """Keep a one-time link."""
        ...

    def use_sign_in(self, code_hash: str, at: datetime) -> SignIn | None:
        """Use a one-time link up; None where there is none, or it was used or has lapsed."""
        ...


class Reading(Protocol):
    """A unit of work on one shop that only reads."""

    @property
    def shop(self) -> str:
        """Return the key of the shop it was opened for."""
        ...

    @property
    def shops(self) -> Shops:
        """Return the versions of the shop."""
        ...

    @property
    def tokens(self) -> Tokens:
        """Return the tokens of the shop."""
        ...

    @property
    def log(self) -> Log:
        """Return the log of the shop."""
        ...

    @property
    def replies(self) -> Replies:
        """Return the replies kept."""
        ...

    @property
    def audit(self) -> Audit:
        """Return who changed what in the shop."""
        ...


class Writing(Reading, Protocol):
    """A unit of work on one shop that may change it. Without ``commit`` nothing is changed."""

    def note(self, verb: Verb, thing: str, changes: tuple[Changed, ...]) -> None:
        """Note a change that is more than the rows it changes; those are noted by themselves."""
        ...

    def commit(self) -> None:
        """Let what was changed hold, for good: when this returns it is on the disk."""
        ...


class HouseReading(Protocol):
    """A unit of work on what belongs to no one shop, that only reads."""

    @property
    def house(self) -> House:
        """Return what belongs to no one shop."""
        ...

    @property
    def tokens(self) -> Tokens:
        """Return the tokens of every shop."""
        ...

    @property
    def replies(self) -> Replies:
        """Return the replies kept."""
        ...

    @property
    def audit(self) -> Audit:
        """Return who changed what of that which belongs to no one shop."""
        ...


class HouseWriting(HouseReading, Protocol):
    """A unit of work on what belongs to no one shop, that may change it."""

    def commit(self) -> None:
        """Let what was changed hold, for good."""
        ...


class Units(Protocol):
    """Opens units of work. A unit belongs to one shop and sees no other's rows."""

    def by(self, actor: Actor, clock: Callable[[], datetime]) -> Self:
        """Return the same for someone, whose changes are noted as theirs and at that time."""
        ...

    def read(self, shop: str) -> AbstractContextManager[Reading]:
        """Open a unit that reads: it waits for no one. Raises Unknown where there is no shop."""
        ...

    def write(self, shop: str) -> AbstractContextManager[Writing]:
        """Open a unit that writes: one at a time for a shop, so what it read still holds.

        Raises:
            Unknown: if there is no such shop.
            Busy: if others write for too long.
        """
        ...

    def read_house(self) -> AbstractContextManager[HouseReading]:
        """Open a unit that reads what belongs to no one shop."""
        ...

    def write_house(self) -> AbstractContextManager[HouseWriting]:
        """Open a unit that writes what belongs to no one shop. Raises Busy."""
        ...
