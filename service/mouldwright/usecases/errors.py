"""What can go wrong when things are kept and many ask.

::

    MouldwrightError                 in the domain
    ├── NotSignedIn                  no token, or one that does not hold
    ├── TooManyTries                 too many wrong codes or addresses came from there
    ├── NotAllowed                   the role does not reach that far
    ├── Unknown                      nothing of that name is kept for this shop
    ├── AlreadyThere                 the name is taken
    ├── Stale                        it was changed since it was read
    ├── VersionMissing               it may be changed only by who says what was read
    ├── KeyMissing                   a request that creates needs a key of its own
    ├── KeyReused                    the key was used for another request
    ├── KeyInFlight                  the request with this key is still being worked on
    ├── TooLarge                     more than is taken at once
    ├── NotWritten                   it cannot be kept now, and nothing was changed
    │   ├── Busy                     someone else is writing or asking; try again
    │   ├── StoreFull                there is no room left where things are kept
    │   └── StoreReadOnly            where things are kept may only be read
    └── HardLimit                    in the domain
        └── TooMuchToPlan            more is open than is planned while someone waits

What these mean over HTTP is said in one place, outside.
"""

from __future__ import annotations

import math
from datetime import timedelta

from mouldwright.domain.errors import HardLimit, MouldwrightError


class NotSignedIn(MouldwrightError):
    """No token was shown, or it is unknown, expired or withdrawn."""

    def __init__(self, problem: str = "") -> None:
        """Say what is missing."""
        super().__init__(problem or "Sign in: show a token that holds.")


class TooManyTries(MouldwrightError):
    """Too many wrong codes or secret addresses came from one place."""

    def __init__(self, *, wait: timedelta) -> None:
        """Say how long to wait, in whole seconds."""
        self.wait_s = max(1, math.ceil(wait.total_seconds()))
        super().__init__(
            f"Too many wrong tries came from where you are. Wait {self.wait_s} s, then try again."
        )


class NotAllowed(MouldwrightError):
    """The role does not reach that far."""

    def __init__(self, *, role: str, needed: str) -> None:
        """Say which role would."""
        self.role, self.needed = role, needed
        super().__init__(f"The role {role} does not reach that far; this takes {needed}.")


class Unknown(MouldwrightError):
    """Nothing of that name is kept for this shop, or it belongs to another."""

    def __init__(self, *, kind: str, key: str) -> None:
        """Say what was not found; whether another shop has it is not said."""
        self.kind, self.key = kind, key
        super().__init__(f"There is no {kind} {key!r}.")


class AlreadyThere(MouldwrightError):
    """The name is taken."""

    def __init__(self, *, kind: str, key: str) -> None:
        """Say which."""
        self.kind, self.key = kind, key
        super().__init__(f"There is a {kind} {key!r} already; choose another key.")


class Stale(MouldwrightError):
    """It was changed since it was read."""

    def __init__(self, *, read: str, holds: str) -> None:
        """Say which version was read and which one holds.

        Args:
            read: What the caller read.
            holds: What holds now.
        """
        self.read, self.holds = read, holds
        super().__init__(
            f"It was changed meanwhile: {read} was read, {holds} holds. Read it again, then change."
        )


class VersionMissing(MouldwrightError):
    """It may be changed only by who says which version was read."""

    def __init__(self) -> None:
        """Say how."""
        super().__init__("Say which version you read: send its ETag as If-Match.")


class KeyMissing(MouldwrightError):
    """A request that creates needs a key of its own."""

    def __init__(self) -> None:
        """Say how."""
        super().__init__(
            "Send an Idempotency-Key of 1 to 200 visible characters, a new one for each thing made."
        )


class KeyReused(MouldwrightError):
    """The key was used for another request."""

    def __init__(self, key: str) -> None:
        """Say which."""
        self.key = key
        super().__init__(f"The key {key!r} was used for another request; take a new one.")


class KeyInFlight(MouldwrightError):
    """The request with this key is still being worked on."""

    def __init__(self, key: str) -> None:
        """Say which."""
        self.key = key
        super().__init__(f"The request with the key {key!r} is still being worked on; wait.")


class TooLarge(MouldwrightError):
    """More than is taken at once."""

    def __init__(self, *, what: str, most: str) -> None:
        """Say what, and the most there may be."""
        self.what, self.most = what, most
        super().__init__(f"{what} is larger than is taken at once: at most {most}.")


class NotWritten(MouldwrightError):
    """It cannot be kept now; nothing was changed."""


class StoreFull(NotWritten):
    """There is no room left where things are kept."""

    def __init__(self) -> None:
        """Say what its keeper can do."""
        super().__init__(
            "There is no room left where things are kept. Nothing was changed, and all that is "
            "kept can be read; make room there, then try again."
        )


class StoreReadOnly(NotWritten):
    """Where things are kept may only be read."""

    def __init__(self) -> None:
        """Say what its keeper can do."""
        super().__init__(
            "Where things are kept may only be read now. Nothing was changed; let it be written "
            "to again, then try again."
        )


class Busy(NotWritten):
    """Someone else is writing or asking; nothing was changed."""

    def __init__(self, problem: str = "Someone else is writing.") -> None:
        """Say what to do."""
        super().__init__(f"{problem} Nothing was changed; try again.")


class TooMuchToPlan(HardLimit):
    """More is open than is planned while someone waits for the answer."""

    def __init__(self, *, parts: int, most: int) -> None:
        """Say how much, and the most there may be."""
        self.parts, self.most = parts, most
        super().__init__(
            [
                f"{parts:,} parts would be open, and up to {most:,} are planned while you wait; "
                "ask for the date by rate, or for smaller lots."
            ]
        )
