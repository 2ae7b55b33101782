"""The sign-out command: everyone at once, without the service being stopped."""

from __future__ import annotations

import json
import sys

from mouldwright.bootstrap import commanded
from mouldwright.cli.serve import settings_of
from mouldwright.usecases.session import sign_everyone_out, signed_out_sentence


def sign_out(
    *, database: str | None, shop: str | None, tokens_too: bool, demo: bool, as_json: bool
) -> None:
    """End every session, and print how many there were. Raises Unknown for no such shop."""
    settings = settings_of(database_url=database)
    with commanded(settings, demo=demo) as services:
        ended = sign_everyone_out(
            services.units, shop, tokens_too=tokens_too, keep="", now=services.clock()
        )
    if as_json:
        answer = {
            "shop": shop,
            "browsers": ended.browsers,
            "tokens": ended.tokens,
            "links": ended.links,
        }
        sys.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False) + "\n")
        return
    sys.stdout.write(f"{signed_out_sentence(ended)}\n")
