"""The pages over a bench on a database of a test's own, and a visitor to them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import datetime
from itertools import count

from fastapi import FastAPI
from promise_bench import DEMO, KEY, NOW, PromiseBench
from starlette.testclient import TestClient

from mouldwright.scenario.demo import open_demo
from mouldwright.usecases.access import issue, promise_sign_in
from mouldwright.usecases.kept import Role
from mouldwright.usecases.services import Limits, Services
from mouldwright.usecases.session import COOKIE, FORM_KEY, form_key
from mouldwright.web import add_pages

_DRAWN = count(1)


def chance() -> str:
    """Return a text that is drawn once in a test run; tests need no secrecy."""
    return f"drawn-{next(_DRAWN):06d}-abcdefghijklmnop"


@dataclass
class WebBench:
    """Pages, their services, and the clock they go by."""

    bench: PromiseBench
    now: datetime = NOW
    services: Services = field(init=False)
    client: TestClient = field(init=False)

    def __post_init__(self) -> None:
        self.services = Services(
            units=self.bench.units,
            written=self.bench.written,
            clock=lambda: self.now,
            chance=chance,
            limits=Limits(),
            alive=lambda: None,
            called=("testserver",),
            finish=self.bench.finish,
        )
        app = FastAPI()
        demos = {"foil-bench": lambda: DEMO, "noted-month": lambda: open_demo("noted-month").shop}
        add_pages(app, self.services, demos=demos)
        self.client = TestClient(app, follow_redirects=False)

    def secret(self, role: Role = Role.OWNER, shop: str | None = KEY) -> str:
        """Return the secret of a new token."""
        with self.bench.units.write_house() as unit:
            issued = issue(
                unit.tokens,
                shop=shop,
                role=role,
                label="a test",
                days=9,
                now=self.now,
                chance=chance,
            )
            unit.commit()
        return issued.secret

    def code(self, role: Role = Role.OWNER, shop: str | None = KEY) -> str:
        """Return the code of a new one-time link."""
        return promise_sign_in(
            self.bench.units, shop=shop, role=role, minutes=15, now=self.now, chance=chance
        )

    def visitor(self, role: Role = Role.OWNER, shop: str | None = KEY) -> Visitor:
        """Return someone signed in."""
        return Visitor(self, self.secret(role, shop))

    def keeper(self) -> Visitor:
        return self.visitor(Role.KEEPER, None)


@dataclass
class Visitor:
    """Someone signed in; opens pages and sends forms as a browser would."""

    web: WebBench
    secret: str

    def get(self, path: str, **more):
        return self.web.client.get(path, headers=self._headers(), **more)

    def post(self, path: str, form: dict[str, str] | None = None, **more):
        data = {FORM_KEY: form_key(self.secret), **(form or {})}
        return self.web.client.post(path, data=data, headers=self._headers(), **more)

    def page(self, path: str) -> str:
        """Return the text of a page that must open."""
        answer = self.get(path)
        assert answer.status_code == 200, (path, answer.status_code, answer.text[:500])
        return answer.text

    def _headers(self) -> dict[str, str]:
        return {"cookie": f"{COOKIE}={self.secret}"}


def plain(page: str) -> str:
    """Return the words of a page, its tags left out and blanks run together."""
    import html

    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", page))).strip()
