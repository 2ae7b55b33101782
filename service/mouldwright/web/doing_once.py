"""A form sent twice does its work once: each carries a key of its own."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable

from starlette.datastructures import FormData

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.once import once
from mouldwright.usecases.promise_ports import PromiseWriting
from mouldwright.usecases.session import FORM_KEY
from mouldwright.web.visit import Visit, text_of

ONCE = "once"
LONGEST_KEY = 200


def asked_by(visit: Visit, form: FormData) -> Asked:
    """Return who asks for what under which key.

    Raises:
        InvalidInput: if the form carries no key.
    """
    key = text_of(form, ONCE)
    if not key or len(key) > LONGEST_KEY:
        raise InvalidInput(
            [
                Fault(
                    path=ONCE,
                    value=key[:LONGEST_KEY],
                    problem="the form lacks the key that keeps it from being done twice.",
                    remedy="Open the page again and send it from there.",
                )
            ]
        )
    fields = sorted((k, str(v)) for k, v in form.multi_items() if k not in (FORM_KEY, ONCE))
    said = repr((visit.request.url.path, fields))
    return Asked(
        caller=visit.token.id,
        key=f"page {key}",
        fingerprint=hashlib.sha256(said.encode()).hexdigest(),
    )


def secret_once(visit: Visit, form: FormData, make: Callable[[PromiseWriting], str]) -> str:
    """Return the secret that a form makes; empty where it is sent again.

    What is kept of the answer has no secret in it.

    Raises:
        InvalidInput: if the form carries no key.
    """

    def work(unit: PromiseWriting) -> Reply:
        return Reply(status=200, body=json.dumps({"secret": make(unit)}))

    kept = once(
        visit.services.units.write(visit.shop),
        asked_by(visit, form),
        work,
        now=visit.now,
        kept=lambda reply: Reply(status=reply.status, body="{}"),
    )
    secret: str = json.loads(kept.body).get("secret", "")
    return secret


def led_to(path: str) -> Reply:
    """Return the reply of a form that leads to a page."""
    return Reply(status=303, body="", headers={"Location": path})


def path_of(reply: Reply) -> str:
    """Return where a form's reply leads."""
    return reply.headers["Location"]
