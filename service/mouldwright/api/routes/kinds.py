"""What each kind of problem means. Open: an error must be explained to whoever gets it."""

from __future__ import annotations

from starlette.responses import Response

from mouldwright.api.deps import new_router, sent
from mouldwright.api.kinds import KINDS, PROBLEMS, problems
from mouldwright.usecases.errors import Unknown
from mouldwright.wire.service.problem import ProblemKind, ProblemKinds

router = new_router(PROBLEMS, "service")


def _answer(name: str) -> ProblemKind:
    kind = KINDS[name]
    return ProblemKind(
        type=kind.address, title=kind.title, status=kind.status, meaning=kind.meaning
    )


@router.get("", response_model=ProblemKinds, operation_id="list_problems")
def list_problems() -> Response:
    """List every kind of problem the service answers with."""
    return sent(ProblemKinds(problems=[_answer(name) for name in KINDS]))


@router.get(
    "/{kind}", response_model=ProblemKind, operation_id="read_problem", responses=problems(404)
)
def read_problem(kind: str) -> Response:
    """Say what a kind of problem means."""
    if kind not in KINDS:
        raise Unknown(kind="problem", key=kind)
    return sent(_answer(kind))
