"""Who may come in: the tokens of a shop, in rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.usecases.kept import Token
from mouldwright.usecases.session import BY_LINK
from mouldwright.web.words import day_and_year

# What each role may do, as the page says it beside the choice.
ROLE_WORDS = {
    "keeper": "every shop of this service",
    "owner": "the shop and who may come in",
    "planner": "parts, quotes, orders and plans",
    "bench": "what is done at the bench",
    "viewer": "read, and ask what a thing would cost",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TokenRow:
    """A token.

    Attributes:
        is_browser: Whether a sign-in link gave it to a browser.
        is_mine: Whether the reader is signed in by it.
        stands: "open until ...", or how it ended.
    """

    id: str
    label: str
    role: str
    issued: str
    stands: str
    holds: bool
    is_browser: bool
    is_mine: bool


def token_row(token: Token, *, zone: str, now: datetime, mine: str) -> TokenRow:
    """Return the row of a token; ``mine`` is the id of the reader's own."""

    def on(instant: datetime) -> str:
        return day_and_year(local(minute_of(instant), zone))

    if token.revoked_at is not None:
        stands = f"withdrawn {on(token.revoked_at)}"
    elif not token.holds(now):
        stands = f"lapsed {on(token.expires_at)}"
    else:
        stands = f"holds until {on(token.expires_at)}"
    is_browser = token.label == BY_LINK
    return TokenRow(
        id=token.id,
        label="a browser, by a sign-in link" if is_browser else token.label,
        role=token.role.value,
        issued=on(token.issued_at),
        stands=stands,
        holds=token.holds(now),
        is_browser=is_browser,
        is_mine=token.id == mine,
    )
