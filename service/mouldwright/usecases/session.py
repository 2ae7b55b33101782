"""Being signed in with a browser: one cookie that holds a token's secret, and a key for forms.

Pages and service read the same cookie. It is set HttpOnly and SameSite=Lax, and Secure where
the page came over https. A form carries a key that only a page of ours could have shown.
"""

from __future__ import annotations

import hmac
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote

from mouldwright.usecases.kept import Token
from mouldwright.usecases.kept_feed import FeedKind
from mouldwright.usecases.ports import Tokens, Units

COOKIE = "mouldwright_session"
FORM_KEY = "form_key"
SIGN_IN = "/sign-in"
# Below it, each by the secret of its link, lie the pages that customers see.
OFFERS = "/q"
# Below it, each by the secret of its address, lie what calendars and readers of news look at.
FEEDS = "/v1/feeds"
# The label of a token that a sign-in link gave.
BY_LINK = "signed in by link"


def form_key(secret: str) -> str:
    """Return the key that every form of this session carries; it does not give the secret away."""
    return hmac.new(secret.encode(), b"form", "sha256").hexdigest()


def form_key_holds(secret: str, shown: str) -> bool:
    """Return whether a form was shown to whoever holds the secret."""
    return hmac.compare_digest(form_key(secret).encode(), shown.encode())


def sign_in_path(code: str) -> str:
    """Return the path of a one-time sign-in link; opening it uses nothing up, its button does."""
    return f"{SIGN_IN}?code={quote(code, safe='')}"


def offer_path(secret: str) -> str:
    """Return the path of a customer's page of one quote."""
    return f"{OFFERS}/{quote(secret, safe='')}"


def feed_path(secret: str, kind: FeedKind) -> str:
    """Return the path of a feed; how it ends tells a program what it is."""
    ending = {"calendar": "calendar.ics", "notices": "notices.atom"}[kind]
    return f"{FEEDS}/{quote(secret, safe='')}/{ending}"


def sign_out(units: Units, token: Token, *, now: datetime) -> None:
    """End a browser's session: the token that its link gave is withdrawn.

    One that was issued for a tool or a tablet and shown to the browser stays good: whoever
    issued it withdraws it.
    """
    if token.label != BY_LINK:
        return
    with units.write_house() as unit:
        unit.tokens.revoke(token.id, now)
        unit.commit()


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedOut:
    """What ended when everyone was signed out.

    Attributes:
        browsers: Sessions of browsers that came in by a sign-in link.
        tokens: Tokens that were issued for tablets and programs.
        links: Sign-in links that nobody had opened yet.
    """

    browsers: int
    tokens: int
    links: int


def sign_everyone_out(
    units: Units, shop: str | None, *, tokens_too: bool, keep: str, now: datetime
) -> SignedOut:
    """End every session of a shop, and every sign-in link to it that nobody opened yet.

    Args:
        units: Where they are kept.
        shop: Whose; None for keepers, who have no one shop.
        tokens_too: Whether what was issued for tablets and programs ends as well.
        keep: Id of the one token that stays, whoever asks; empty for none.
        now: Zone-aware.

    Raises:
        Unknown: if there is no such shop.
    """
    with units.write_house() if shop is None else units.write(shop) as unit:
        held = [
            token
            for token in unit.tokens.listed()
            if token.shop == shop and token.id != keep and token.holds(now)
        ]
        browsers = _withdrawn(unit.tokens, (token for token in held if token.label == BY_LINK), now)
        issued = _withdrawn(
            unit.tokens,
            (token for token in held if tokens_too and token.label != BY_LINK),
            now,
        )
        links = unit.tokens.lapse_sign_ins(now)
        unit.commit()
    return SignedOut(browsers=browsers, tokens=issued, links=links)


def _withdrawn(tokens: Tokens, those: Iterable[Token], now: datetime) -> int:
    count = 0
    for token in those:
        tokens.revoke(token.id, now)
        count += 1
    return count


def signed_out_sentence(ended: SignedOut) -> str:
    """Say in a sentence what ended."""
    counts = (
        (ended.browsers, "browser signed out", "browsers signed out"),
        (ended.tokens, "token withdrawn", "tokens withdrawn"),
        (ended.links, "unopened link lapsed", "unopened links lapsed"),
    )
    said = [f"{count} {one if count == 1 else many}" for count, one, many in counts if count]
    return f"{', '.join(said)}." if said else "Nobody else was signed in."
