"""What can go wrong when the service is asked.

::

    ClientError
    ├── Refused      the service answered, and said why it was not done
    └── NoAnswer     no answer came, or none that can be read
"""

from __future__ import annotations

from mouldwright.wire.service.problem import Problem, ProblemItem


class ClientError(Exception):
    """The root: whatever went wrong in asking the service."""


class Refused(ClientError):
    """The service answered with a problem.

    Attributes:
        problem: As it was answered.
        request_id: By which the service's own log names the request; empty where it gave none.
    """

    def __init__(self, problem: Problem, *, request_id: str = "") -> None:
        """Keep the problem, and say it in one paragraph."""
        self.problem, self.request_id = problem, request_id
        super().__init__("\n".join([problem.detail, *(_line(item) for item in problem.errors)]))

    @property
    def kind(self) -> str:
        """Return the short name of the kind of problem, such as ``stale``."""
        return self.problem.type.rsplit("/", 1)[-1]

    @property
    def status(self) -> int:
        """Return the HTTP status."""
        return self.problem.status

    @property
    def title(self) -> str:
        """Return the kind of problem in words."""
        return self.problem.title

    @property
    def detail(self) -> str:
        """Return what is wrong in this case."""
        return self.problem.detail

    @property
    def errors(self) -> tuple[ProblemItem, ...]:
        """Return each thing that is wrong in what was sent; may be empty."""
        return tuple(self.problem.errors)


class NoAnswer(ClientError):
    """No answer came, or none that can be read.

    Attributes:
        perhaps_done: Whether the service may have done what was asked all the same.
    """

    def __init__(self, why: str, *, perhaps_done: bool) -> None:
        """Say why, and what is to be thought of it."""
        self.perhaps_done = perhaps_done
        end = " It may have been done all the same: read it before trying again."
        super().__init__(f"{why}{end if perhaps_done else ''}")


def _line(item: ProblemItem) -> str:
    place = item.path or item.parameter or item.pointer or ""
    return f"{place}{': ' if place else ''}{item.detail} {item.remedy}".strip()
