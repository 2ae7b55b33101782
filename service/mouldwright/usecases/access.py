"""Who may come in: one-time sign-in links, tokens, and what each reaches.

A secret is shown once and kept as its SHA-256 digest alone. It has 256 random bits, so a
slow hash would add nothing.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.record.audit_entry import Actor
from mouldwright.usecases.errors import NotAllowed, NotSignedIn, Unknown
from mouldwright.usecases.kept import Role, SignIn, Token
from mouldwright.usecases.ports import Chance, HouseWriting, Tokens, Units

LONGEST_LABEL = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Issued:
    """A new token with its secret, which is nowhere kept."""

    token: Token
    secret: str


def digest(secret: str) -> str:
    """Return what is kept of a secret: its SHA-256 (FIPS 180-4), in hexadecimal."""
    return hashlib.sha256(secret.encode()).hexdigest()


def caller(units: Units, secret: str, *, now: datetime) -> Token:
    """Return the token of a secret.

    Raises:
        NotSignedIn: if there is none, or it has expired or was withdrawn.
    """
    with units.read_house() as unit:
        token = unit.house.token_by_secret(digest(secret))
    if token is None or not token.holds(now):
        raise NotSignedIn
    return token


def admit(token: Token, needed: Role, *, shop: str | None) -> None:
    """Let a token pass, or refuse it.

    Args:
        token: Who asks.
        needed: The least role that may.
        shop: Which shop it is about; None for what belongs to no one shop.

    Raises:
        Unknown: if it is another shop's token: it is not told that this shop exists.
        NotAllowed: if its role does not reach so far.
    """
    if shop is not None and token.shop not in (None, shop):
        raise Unknown(kind="shop", key=shop)
    if not token.role.reaches(needed):
        raise NotAllowed(role=token.role.value, needed=needed.value)


def issue(
    tokens: Tokens,
    *,
    shop: str | None,
    role: Role,
    label: str,
    days: int,
    now: datetime,
    chance: Chance,
) -> Issued:
    """Make a token and keep it, its secret left out.

    Args:
        tokens: Of an open unit of work that writes.
        shop: The one shop it opens; None for a keeper alone.
        role: How far it reaches.
        label: Whose it is, in their words.
        days: How long it holds.
        now: Zone-aware.
        chance: Makes the secret and the id.

    Raises:
        InvalidInput: if a keeper is given one shop, or anyone else none.
    """
    _check_reach(role, shop)
    secret = chance()
    token = Token(
        id=chance()[:16],
        shop=shop,
        role=role,
        label=label[:LONGEST_LABEL],
        issued_at=now,
        expires_at=now + timedelta(days=days),
    )
    tokens.issue(token, digest(secret))
    return Issued(token=token, secret=secret)


def promise_sign_in(
    units: Units, *, shop: str | None, role: Role, minutes: int, now: datetime, chance: Chance
) -> str:
    """Return the code of a link that signs in once, for a few minutes.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if a keeper is given one shop, or anyone else none.
    """
    _check_reach(role, shop)
    if shop is not None:
        with units.read(shop):
            pass
    code = chance()
    sign_in = SignIn(shop=shop, role=role, expires_at=now + timedelta(minutes=minutes))
    with units.write_house() as unit:
        unit.house.promise_sign_in(sign_in, digest(code))
        unit.commit()
    return code


def by_code(request: str) -> Actor:
    """Return whoever comes in by a one-time link, of whom nothing more is known."""
    return Actor(label="whoever opened a sign-in link", request=request)


def sign_in(units: Units, code: str, *, days: int, now: datetime, chance: Chance) -> Issued:
    """Use a one-time code up for a token.

    Raises:
        NotSignedIn: if the code is unknown, used or has lapsed.
    """
    with units.write_house() as unit:
        issued = _signed_in(unit, code, days=days, now=now, chance=chance)
        unit.commit()
    return issued


def _signed_in(
    unit: HouseWriting, code: str, *, days: int, now: datetime, chance: Chance
) -> Issued:
    promised = unit.house.use_sign_in(digest(code), now)
    if promised is None:
        raise NotSignedIn("This link was used, has lapsed, or never was. Ask for a new one.")
    return issue(
        unit.tokens,
        shop=promised.shop,
        role=promised.role,
        label="signed in by link",
        days=days,
        now=now,
        chance=chance,
    )


def _check_reach(role: Role, shop: str | None) -> None:
    if (role is Role.KEEPER) == (shop is None):
        return
    raise InvalidInput(
        [
            Fault(
                path="role",
                value=role.value,
                problem="a keeper has no one shop, and everyone else has one.",
                remedy="Name a shop with owner, planner, bench or viewer, and none with keeper.",
            )
        ]
    )


def rotate(
    tokens: Tokens,
    token_id: str,
    *,
    days: int,
    now: datetime,
    chance: Chance,
    overlap: timedelta = timedelta(0),
) -> Issued:
    """Give a token's holder a new one; the old one ends at once, or after an overlap.

    Commits nothing: both hold or neither does.

    Args:
        tokens: Of an open unit of work that writes.
        token_id: The old one.
        days: How long the new one holds.
        now: Zone-aware.
        chance: Makes the secret and the id.
        overlap: How long the old one holds on, if it would have; none withdraws it.

    Raises:
        NotSignedIn: if the old one has ended meanwhile.
    """
    old = tokens.by_id(token_id)
    if not old.holds(now):
        raise NotSignedIn
    issued = issue(
        tokens,
        shop=old.shop,
        role=old.role,
        label=old.label,
        days=days,
        now=now,
        chance=chance,
    )
    if overlap:
        tokens.end_by(old.id, now + overlap)
    else:
        tokens.revoke(old.id, now)
    return issued


def revoke(units: Units, shop: str, token_id: str, *, now: datetime) -> None:
    """Withdraw a token of a shop for good. Raises Unknown where the shop has none such."""
    with units.write(shop) as unit:
        unit.tokens.revoke(token_id, now)
        unit.commit()
