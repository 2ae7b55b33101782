"""Who is signed in, and who may come in: tokens issued, renewed and withdrawn, sign-in links."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.errors import Conflict, Fault, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.usecases import access
from mouldwright.usecases.kept import Role, Token
from mouldwright.usecases.promise_ports import PromiseWriting
from mouldwright.usecases.session import (
    COOKIE,
    SIGN_IN,
    sign_everyone_out,
    sign_in_path,
    signed_out_sentence,
)
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.doing_once import secret_once
from mouldwright.web.form_values import whole_of
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.access import ROLE_WORDS, TokenRow, token_row
from mouldwright.web.visit import InShop, Posted, Visit, is_secure, text_of

router = APIRouter(prefix="/shops/{shop}/access")
# A keeper has no one shop, so none is made from a shop's page.
_ROLES = (Role.OWNER, Role.PLANNER, Role.BENCH, Role.VIEWER)
MOST_DAYS = 3650


@router.get("")
def show_access(visit: InShop) -> HTMLResponse:
    """Show who one is, and to an owner who else may come in."""
    shop, is_owner = _shop(visit), visit.may(Role.OWNER)
    tokens: tuple[Token, ...] = ()
    if is_owner:
        with visit.services.units.read(visit.shop) as unit:
            tokens = unit.tokens.listed()

    def row(token: Token) -> TokenRow:
        return token_row(token, zone=shop.zone, now=visit.now, mine=visit.token.id)

    rows = [row(token) for token in reversed(tokens)]
    return visit.show(
        "access.html",
        title="Who may come in",
        shop_name=shop.name,
        place="access",
        here=shop_path(visit.shop, "access"),
        me=row(visit.token),
        is_owner=is_owner,
        open_tokens=[each for each in rows if each.holds],
        ended_tokens=[each for each in rows if not each.holds],
        roles=[(role.value, ROLE_WORDS[role.value]) for role in _ROLES],
        role_words=ROLE_WORDS,
        days=visit.services.limits.token_days,
        minutes=visit.services.limits.sign_in_minutes,
        once=visit.services.chance(),
    )


@router.post("/tokens")
def issue(visit: InShop, form: Posted) -> HTMLResponse:
    """Issue a token and show its secret, this once."""
    visit.must(Role.OWNER)
    role, label, days = _role(form), text_of(form, "label"), whole_of(form, "days")
    _check(label, days)

    def new_secret(unit: PromiseWriting) -> str:
        return access.issue(
            unit.tokens,
            shop=visit.shop,
            role=role,
            label=label,
            days=days,
            now=visit.now,
            chance=visit.services.chance,
        ).secret

    secret = secret_once(visit, form, new_secret)
    sentence = f"The token of {label}, as {role.value}. A program sends it as a bearer token; a "
    sentence += "tablet signs in with it."
    return _once_shown(visit, "A new token", secret, what="token", sentence=sentence)


@router.post("/tokens/{token}/renew")
def renew(visit: InShop, token: str, form: Posted) -> Response:
    """Give a token anew and end the old one, both at once."""
    if token != visit.token.id:
        visit.must(Role.OWNER)
    found = visit.token
    if token != found.id:
        with visit.services.units.read(visit.shop) as unit:
            found = unit.tokens.by_id(token)
    if not found.holds(visit.now):
        raise Conflict(
            f"The token of {found.label} has ended already.",
            remedy="Issue another.",
            stands="ended",
        )
    days = visit.services.limits.token_days
    with visit.services.units.write_house() as house:
        renewed = access.rotate(
            house.tokens, found.id, days=days, now=visit.now, chance=visit.services.chance
        )
        house.commit()
    if token != visit.token.id:
        sentence = f"The new token of {found.label}. The old one has ended."
        return _once_shown(visit, "A token anew", renewed.secret, what="token", sentence=sentence)
    answer = visit.go(shop_path(visit.shop, "access"), say="This browser is signed in anew.")
    answer.set_cookie(
        COOKIE,
        renewed.secret,
        max_age=days * 86_400,
        httponly=True,
        samesite="lax",
        secure=is_secure(visit.request),
    )
    return answer


@router.post("/tokens/{token}/withdraw")
def withdraw(visit: InShop, token: str, form: Posted) -> Response:
    """Withdraw a token for good."""
    visit.must(Role.OWNER)
    access.revoke(visit.services.units, visit.shop, token, now=visit.now)
    if token == visit.token.id:
        return visit.go(SIGN_IN, say="Your own was withdrawn: you are signed out.")
    return visit.go(shop_path(visit.shop, "access"), say="Withdrawn: it opens nothing now.")


@router.post("/sign-everyone-out")
def end_sessions(visit: InShop, form: Posted) -> Response:
    """Sign everyone out but this browser."""
    visit.must(Role.OWNER)
    ended = sign_everyone_out(
        visit.services.units,
        visit.shop,
        tokens_too=bool(text_of(form, "tokens_too")),
        keep=visit.token.id,
        now=visit.now,
    )
    return visit.go(shop_path(visit.shop, "access"), say=signed_out_sentence(ended))


@router.post("/links")
def make_sign_in_link(visit: InShop, form: Posted) -> HTMLResponse:
    """Make a link that signs someone in once, and show it."""
    visit.must(Role.OWNER)
    role, minutes = _role(form), visit.services.limits.sign_in_minutes
    code = access.promise_sign_in(
        visit.services.units,
        shop=visit.shop,
        role=role,
        minutes=minutes,
        now=visit.now,
        chance=visit.services.chance,
    )
    return _once_shown(
        visit,
        "A sign-in link",
        visit.services.address(str(visit.request.base_url)) + sign_in_path(code),
        what="link",
        sentence=f"It signs one browser in as {role.value}, once, within {minutes} minutes.",
    )


def _once_shown(visit: Visit, title: str, secret: str, *, what: str, sentence: str) -> HTMLResponse:
    page = visit.show(
        "secret_once.html",
        title=title,
        shop_name=_shop(visit).name,
        place="access",
        secret=secret,
        what=what,
        sentence=sentence,
        back=shop_path(visit.shop, "access"),
        back_words="Back to who may come in",
    )
    page.headers["cache-control"] = "no-store"
    return page


def _shop(visit: Visit) -> Shop:
    return open_kept(visit.services.units, visit.services.written, visit.shop).shop


def _role(form: FormData) -> Role:
    said = text_of(form, "role")
    found = next((role for role in _ROLES if role.value == said), None)
    if found is None:
        known = ", ".join(role.value for role in _ROLES)
        raise InvalidInput(
            [
                Fault(
                    path="role",
                    value=said,
                    problem="that is no role here.",
                    remedy=f"Choose {known}.",
                )
            ]
        )
    return found


def _check(label: str, days: int) -> None:
    faults = []
    if not 1 <= len(label) <= access.LONGEST_LABEL:
        faults.append(
            Fault(
                path="label",
                value=label[:80],
                problem=f"a token says whose it is in 1 to {access.LONGEST_LABEL} letters.",
                remedy="Write one such as tablet at the press.",
            )
        )
    if not 1 <= days <= MOST_DAYS:
        faults.append(
            Fault(
                path="days",
                value=str(days),
                problem="a token holds for some days.",
                remedy=f"Give 1 to {MOST_DAYS}.",
            )
        )
    if faults:
        raise InvalidInput(faults)
