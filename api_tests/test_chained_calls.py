"""Calls that follow from one another: what is made is used, changed and taken away again.

The links of the description say what may follow. The chains are drawn the same way each time;
``MOULDWRIGHT_CHAINS`` draws more of them.
"""

from __future__ import annotations

import os
from collections import Counter
from itertools import count

import httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, settings
from schemathesis import GenerationMode
from schemathesis.checks import CHECKS, load_all_checks

CHAINS = int(os.environ.get("MOULDWRIGHT_CHAINS", "4"))
STEPS = 8
# One kind of the five that a shop is made of: their routes are one piece of code.
ENTRIES = ("parts",)
# What is made, and so is used, changed or taken away; an order is made from a quote.
THINGS = {
    "quotes": ("quotes", "orders"),
    **{kind: (kind,) for kind in ("runs", "tokens", "feeds", "log", *ENTRIES)},
}

load_all_checks()
_LEFT_OUT = {
    # What fits a schema may still come too late: a quote is accepted once.
    "positive_data_acceptance",
    # Held by test_roles, for every operation and every role.
    "object_level_authorization",
}
# A token that was withdrawn is still shown, with the moment from which it opens nothing.
_STILL_SHOWN = {"tokens": {"use_after_free"}}


@pytest.fixture(scope="module")
def schema(server) -> dict:
    return httpx.get(f"{server.address}/v1/openapi.json", timeout=300).json()


@pytest.mark.parametrize("thing", THINGS)
def test_what_was_made_is_there_for_what_follows_and_is_gone_once_it_was_taken_away(
    thing, server, schema, shop, keeper
):
    headers = {"Authorization": f"Bearer {keeper.token}"}
    put = {"shop": shop.key}
    body = None
    if thing in ENTRIES:
        # What the demo is made of is in use, and may not be taken away; one more like it may be.
        listed = httpx.get(
            f"{server.address}/v1/shops/{shop.key}/{thing}", headers=headers, timeout=300
        ).json()
        body = next(v for v in listed[thing][0].values() if isinstance(v, dict))
        put |= {"key": "another", "If-Match": "*"}
    paths = "|".join(f"/{name}(/|$)" for name in THINGS[thing])
    description = (
        schemathesis.openapi.from_dict(narrowed(schema, put, body))
        .include(path_regex=rf"^/v1/shops/\{{shop\}}({paths})")
        # Ends only when its run does.
        .exclude(path_regex="/events$")
    )
    description.config.update(base_url=server.address)
    description.config.generation.modes = [GenerationMode.POSITIVE]
    # Only what the description itself says: what is guessed besides would hide a link that fails.
    description.config.phases.stateful.inference.algorithms = []
    left_out = _LEFT_OUT | _STILL_SHOWN.get(thing, set())
    checked = CHECKS.get_by_names([n for n in CHECKS.get_all_names() if n not in left_out])
    came_of: Counter[str] = Counter()
    keys = count(1)

    class Chained(description.as_state_machine()):
        def before_call(self, case) -> None:
            sent = case.headers or {}
            if "Idempotency-Key" in sent:
                # Of another request each time: one that was used for another is refused.
                sent["Idempotency-Key"] = f"{thing} {next(keys)}"
            super().before_call(case)

        def get_call_kwargs(self, case) -> dict[str, object]:
            return {"headers": headers, "timeout": 300}

        def after_call(self, response, case) -> None:
            super().after_call(response, case)
            came_of[f"{case.method} {response.status_code}"] += 1

        def validate_response(self, response, case, **more) -> None:
            case.validate_response(
                response, checks=checked, transport_kwargs=more, recorder=self.recorder
            )

    Chained.run(
        settings=settings(
            max_examples=CHAINS,
            stateful_step_count=STEPS,
            derandomize=True,
            database=None,
            deadline=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
    )
    assert came_of.keys() & {"POST 201", "POST 202", "PUT 201"}, "nothing was made"
    assert came_of.keys() & {"GET 200", "DELETE 204"}, "nothing followed"


def narrowed(schema: dict, put: dict[str, str], body: object) -> dict:
    """Return the description with bodies and names that come to something.

    Whatever else may be sent is sent by test_contract.

    Args:
        schema: The whole description.
        put: What stands for a name in a path.
        body: What is put; None for the description's example of each body.
    """
    paths: dict[str, dict] = {}
    for path, operations in schema["paths"].items():
        for method, operation in operations.items():
            kept = dict(operation)
            asked = kept.pop("requestBody", None)
            if asked is not None and asked.get("required"):
                told = asked["content"].get("application/json", {}).get("schema", {})
                name = told.get("$ref", "").rsplit("/", 1)[-1]
                examples = schema["components"]["schemas"].get(name, {}).get("examples", ())
                sent = examples if body is None else [body]
                if sent:
                    asked = {"content": {"application/json": {"schema": {"enum": list(sent)}}}}
                kept["requestBody"] = {**asked, "required": True}
            kept["parameters"] = [
                {**each, "schema": {"enum": [put[each["name"]]]}} if each["name"] in put else each
                for each in operation.get("parameters", ())
            ]
            paths.setdefault(path, {})[method] = kept
    return {**schema, "paths": paths}
