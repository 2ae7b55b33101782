"""The service keeps to its own description, whatever is sent.

Every operation of the description is called with what fits it and with what does not. The
calls are drawn the same way each time; ``MOULDWRIGHT_EXAMPLES`` draws more of them.
"""

from __future__ import annotations

import os
from collections.abc import Callable

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.checks import CHECKS, load_all_checks

EXAMPLES = int(os.environ.get("MOULDWRIGHT_EXAMPLES", "2"))

load_all_checks()
_LEFT_OUT = {
    # A part that does not exist fits a schema, and is refused all the same.
    "positive_data_acceptance",
    # These two watch a chain of calls; each call here stands alone.
    "use_after_free",
    "ensure_resource_availability",
    # Who reaches what is held by a table of roles.
    "object_level_authorization",
}
CHECKED = CHECKS.get_by_names([n for n in CHECKS.get_all_names() if n not in _LEFT_OUT])
# The token that is sent to these holds no more afterwards.
_USES_UP = ("/v1/me/rotate",)


@pytest.mark.parametrize("mode", list(GenerationMode), ids=lambda mode: mode.value)
def test_every_operation_answers_as_it_is_described(mode, server, shop, keeper, subtests):
    description = schemathesis.openapi.from_url(f"{server.address}/v1/openapi.json")
    seen = 0
    for found in description.get_all_operations():
        operation = found.ok()
        with subtests.test(operation.label):
            call = caller(shop, keeper)
            if mode.is_positive:
                for example in operation.get_strategies_from_examples():
                    drawn(example, call, examples=1)
            try:
                drawn(operation.as_strategy(generation_mode=mode), call)
            except Unsatisfiable:
                continue
        seen += 1
    assert seen > 0


def drawn(strategy, call: Callable, *, examples: int = EXAMPLES) -> None:
    """Call with so many draws of a strategy, the same ones each time."""

    @given(strategy)
    @settings(
        max_examples=examples,
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def each(case) -> None:
        call(case)

    each()


def caller(shop, keeper) -> Callable:
    def call(case) -> None:
        if "shop" in case.path_parameters and case.meta.generation.mode.is_positive:
            # A shop that is there: most else would end at its door.
            case.path_parameters = {**case.path_parameters, "shop": shop.key}
        token = keeper.token
        if case.path in _USES_UP:
            token = shop.tokens.issue("owner", "to be used up").secret
        case.call_and_validate(
            headers={"Authorization": f"Bearer {token}"}, checks=CHECKED, timeout=300
        )

    return call
