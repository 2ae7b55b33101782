"""The sign-in command: one more link, without the service being started again."""

from __future__ import annotations

import json
import sys
from urllib.parse import urlsplit

from mouldwright.bootstrap import commanded
from mouldwright.cli.serve import settings_of
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.usecases.access import promise_sign_in
from mouldwright.usecases.kept import Role
from mouldwright.usecases.session import sign_in_path


def sign_in(
    *,
    database: str | None,
    role: str | None,
    shop: str | None,
    address: str | None,
    demo: bool,
    as_json: bool,
) -> None:
    """Print a link that signs in once. The link goes nowhere else.

    Raises:
        InvalidInput: if the role or the address is none.
        Unknown: if there is no such shop.
    """
    settings = settings_of(database_url=database)
    chosen = _role(role or ("keeper" if shop is None else "owner"))
    base = _base(address or f"http://{settings.shown_host}:{settings.port}")
    with commanded(settings, demo=demo) as services:
        code = promise_sign_in(
            services.units,
            shop=shop,
            role=chosen,
            minutes=settings.sign_in_minutes,
            now=services.clock(),
            chance=services.chance,
        )
    link = base + sign_in_path(code)
    if as_json:
        answer = {
            "sign_in": link,
            "role": chosen.value,
            "shop": shop,
            "minutes": settings.sign_in_minutes,
        }
        sys.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False) + "\n")
        return
    opens = "every shop" if shop is None else shop
    sys.stdout.write(
        f"Sign in once, within {settings.sign_in_minutes} minutes, as {chosen.value} of {opens}:\n"
        f"  {link}\n"
    )


def _role(text: str) -> Role:
    if text in set(Role):
        return Role(text)
    known = ", ".join(Role)
    raise InvalidInput(
        [Fault(path="role", value=text, problem="that is no role.", remedy=f"Choose {known}.")]
    )


def _base(text: str) -> str:
    said = urlsplit(text)
    if said.scheme in {"http", "https"} and said.netloc and not said.query and not said.fragment:
        return text.rstrip("/")
    raise InvalidInput(
        [
            Fault(
                path="address",
                value=text,
                problem="that is no address of a service.",
                remedy="Write one such as https://bench.example or http://127.0.0.1:8000.",
            )
        ]
    )
