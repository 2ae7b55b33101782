"""Every kind of problem the service answers with: its status, its words, and what it means."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from mouldwright.domain import errors as domain
from mouldwright.usecases import errors as usecases

PROBLEMS = "/v1/problems"

F = TypeVar("F", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of problem.

    Attributes:
        meaning: What it means and what helps, in a sentence or two.
        errors: What is answered so.
        headers: What goes out with it.
    """

    name: str
    status: int
    title: str
    meaning: str
    errors: tuple[type[Exception], ...] = ()
    headers: Mapping[str, str] = field(default_factory=dict)

    @property
    def address(self) -> str:
        """Return where its meaning is told."""
        return f"{PROBLEMS}/{self.name}"


def _kind(
    name: str,
    status: int,
    title: str,
    meaning: str,
    *errors: type[Exception],
    headers: Mapping[str, str] | None = None,
) -> Kind:
    return Kind(
        name=name,
        status=status,
        title=title,
        meaning=meaning,
        errors=errors,
        headers=headers or {},
    )


_ALL = (
    _kind(
        "not-json",
        400,
        "The body cannot be read",
        "What was sent is not JSON, or is nested too deeply.",
    ),
    _kind(
        "key-missing",
        400,
        "A key of your own is missing",
        "What creates something needs an Idempotency-Key, so that asking twice makes it once.",
        usecases.KeyMissing,
    ),
    _kind(
        "not-signed-in",
        401,
        "Sign in first",
        "No token was sent, or it is unknown, has expired or was withdrawn.",
        usecases.NotSignedIn,
        headers={"WWW-Authenticate": "Bearer"},
    ),
    _kind(
        "too-many-tries",
        429,
        "Too many wrong tries",
        "Too many wrong codes or secret addresses came from one place. Nothing was tried; wait for "
        "as long as Retry-After says.",
        usecases.TooManyTries,
    ),
    _kind(
        "not-allowed",
        403,
        "Your role does not reach that far",
        "The token holds, but this takes a role that reaches further.",
        usecases.NotAllowed,
    ),
    _kind(
        "other-origin",
        403,
        "Asked from another site",
        "A browser signed in here sent this from a page of another site. Nothing was changed.",
    ),
    _kind(
        "unknown",
        404,
        "There is no such thing",
        "Nothing of that name is kept for this shop.",
        usecases.Unknown,
    ),
    _kind(
        "no-such-address",
        404,
        "There is no such address",
        "The service has nothing at this address.",
    ),
    _kind(
        "no-such-method",
        405,
        "That cannot be done here",
        "The address is right, the method is not; Allow says which ones are.",
    ),
    _kind(
        "cannot-be-made",
        409,
        "It cannot be made so",
        "The part cannot be made by that process; the reasons and what would help are named.",
        domain.CannotBeMade,
    ),
    _kind(
        "no-plan",
        409,
        "No plan meets a hard limit",
        "A limit that may not be passed cannot be met; which, and what would help, is named.",
        domain.HardLimit,
    ),
    _kind(
        "conflict",
        409,
        "It does not fit how things stand",
        "What is asked does not fit the state this is in. Nothing was changed.",
        domain.Conflict,
    ),
    _kind(
        "already-there",
        409,
        "The name is taken",
        "There is one of that name; choose another.",
        usecases.AlreadyThere,
    ),
    _kind(
        "key-in-flight",
        409,
        "Still being worked on",
        "A request with the same Idempotency-Key is under way; wait and ask again.",
        usecases.KeyInFlight,
    ),
    _kind(
        "stale",
        412,
        "It was changed meanwhile",
        "Someone changed it since you read it. Read it again, then change it.",
        usecases.Stale,
    ),
    _kind(
        "too-large",
        413,
        "Too large",
        "The body is longer than is taken at once.",
        usecases.TooLarge,
    ),
    _kind(
        "not-the-type",
        415,
        "That type is not read here",
        "Send JSON, and say so: Content-Type: application/json.",
    ),
    _kind(
        "misdirected",
        421,
        "Called by a name that is not its own",
        "The Host of the request is not one this service answers to. Its keeper can add one.",
    ),
    _kind(
        "invalid",
        422,
        "What was sent cannot be right",
        "Each thing that is wrong is listed with where it stands and what would be right.",
        domain.InvalidInput,
    ),
    _kind(
        "key-reused",
        422,
        "The key was used for something else",
        "An Idempotency-Key belongs to one request; take a new one for another.",
        usecases.KeyReused,
    ),
    _kind(
        "version-missing",
        428,
        "Say which version you read",
        "It may be changed only by who sends the ETag that was read as If-Match.",
        usecases.VersionMissing,
    ),
    _kind(
        "failed",
        500,
        "Something went wrong here",
        "It is not your doing. The request's id, in X-Request-Id, finds it in the log.",
        domain.MouldwrightError,
    ),
    _kind(
        "busy",
        503,
        "Others are writing",
        "Nothing was changed; try again in a moment.",
        usecases.Busy,
        usecases.NotWritten,
        headers={"Retry-After": "1"},
    ),
    _kind(
        "stopping",
        503,
        "The service is being stopped",
        "It was not done with in time. Whether it was kept is not known: ask again with the same "
        "Idempotency-Key, and it is done once.",
        headers={"Retry-After": "1"},
    ),
    _kind(
        "store-read-only",
        503,
        "Where things are kept may only be read",
        "Nothing was changed, and all that is kept can be read. Its keeper has to let the store be "
        "written to again.",
        usecases.StoreReadOnly,
        headers={"Retry-After": "30"},
    ),
    _kind(
        "store-full",
        507,
        "There is no room left",
        "Nothing was changed, and all that is kept can be read. Its keeper has to make room where "
        "the store lies.",
        usecases.StoreFull,
    ),
    _kind(
        "store-away",
        503,
        "The store cannot be reached",
        "The service runs, but where it keeps things does not answer.",
        headers={"Retry-After": "5"},
    ),
)

KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _ALL}
BY_ERROR: Mapping[type[Exception], Kind] = {error: kind for kind in _ALL for error in kind.errors}
# What the framework raises by itself.
BY_STATUS: Mapping[int, Kind] = {
    400: KINDS["not-json"],
    404: KINDS["no-such-address"],
    405: KINDS["no-such-method"],
    413: KINDS["too-large"],
    415: KINDS["not-the-type"],
}


def may_answer(*statuses: int) -> Callable[[F], F]:
    """Note the problems that a dependency can end in, for the description of its routes."""

    def noted(dependency: F) -> F:
        dependency.problems = frozenset(statuses)  # type: ignore[attr-defined]
        return dependency

    return noted


def problems(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """Return what a route's ``responses`` say of problems beyond those of its dependencies."""
    return {status: {"description": ""} for status in statuses}
