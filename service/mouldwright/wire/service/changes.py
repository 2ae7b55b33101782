"""What one plan changes beside another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.hours.opening import local
from mouldwright.planning.plan import OrderOutcome, Task
from mouldwright.wire.answers.plan import TaskAnswer, task_answers


class FinishChange(BaseModel):
    """An order whose finish changes."""

    order: str
    before: str | None = Field(description="null where it was not in the plan before")
    after: str | None = Field(description="null where it is in the plan no more")
    late_min: int | None = Field(description="how late it then is")

    @classmethod
    def of(cls, before: OrderOutcome | None, after: OrderOutcome | None, zone: str) -> FinishChange:
        """Return the answer for an order as two plans have it; at least one of them does."""
        return cls(
            order=(after or before).number,  # type: ignore[union-attr]
            before=None if before is None else local(before.finish, zone).isoformat(),
            after=None if after is None else local(after.finish, zone).isoformat(),
            late_min=None if after is None else after.late_min,
        )


class MovedTask(BaseModel):
    """A task that stands elsewhere."""

    before: TaskAnswer
    after: TaskAnswer
    why: str = Field(default="", description="why it moves, in words")


class OddsChange(BaseModel):
    """How likely an order's day is kept, before and after."""

    order: str
    before: float = Field(description="share of runs of the plan in which its day was kept")
    after: float
    at_risk: bool = Field(description="whether that is less than the shop promises")


class ToldChance(Protocol):
    """How likely an order's day is kept, before and after."""

    @property
    def order(self) -> str:
        """Return its number."""
        ...

    @property
    def before(self) -> float:
        """Return the chance by the plan before."""
        ...

    @property
    def after(self) -> float:
        """Return the chance by the plan after."""
        ...

    @property
    def at_risk(self) -> bool:
        """Return whether that is less than the shop promises."""
        ...


class ToldChanges(Protocol):
    """What one plan does otherwise than another, as a use case found it."""

    @property
    def moved(self) -> Sequence[tuple[Task, Task]]:
        """Return tasks as they were and as they are."""
        ...

    @property
    def new(self) -> Sequence[Task]:
        """Return tasks that only the plan after has."""
        ...

    @property
    def gone(self) -> Sequence[Task]:
        """Return tasks that only the plan before has."""
        ...

    @property
    def same(self) -> int:
        """Return how many tasks stand as they did."""
        ...

    @property
    def orders(self) -> Sequence[tuple[OrderOutcome | None, OrderOutcome | None]]:
        """Return orders as they were and as they are."""
        ...

    @property
    def chances(self) -> Sequence[ToldChance]:
        """Return how likely days are kept."""
        ...


class ToldWhy(Protocol):
    """Says why tasks move."""

    because: tuple[str, ...]

    def __call__(self, before: Task, after: Task) -> str:
        """Return why a task stands elsewhere."""
        ...

    def gone(self, task: Task) -> str:
        """Return why a task is gone."""
        ...


class ChangesAnswer(BaseModel):
    """What a plan would change beside the one that holds; upkeep of moulds is left out."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "beside": 4,
                    "moved": [],
                    "new": [],
                    "gone": [],
                    "gone_why": [],
                    "same": 473,
                    "orders": [],
                    "because": ["cure failed on main-pressed 2"],
                    "odds": [{"order": "1005", "before": 0.92, "after": 0.61, "at_risk": True}],
                }
            ]
        }
    )

    beside: int | None = Field(
        description="version of the plan it is set beside; null for one from a file"
    )
    moved: list[MovedTask]
    new: list[TaskAnswer]
    gone: list[TaskAnswer]
    gone_why: list[str] = Field(
        default_factory=list, description="why each of them is gone, in words"
    )
    same: int = Field(description="tasks that stand as they did")
    orders: list[FinishChange]
    because: list[str] = Field(
        default_factory=list,
        description="what happened that moves tasks, in words, what moves most of them first",
    )
    odds: list[OddsChange] = Field(
        default_factory=list,
        description="of each order with a day, how likely that is kept; empty where the odds of "
        "one of the plans were not worked out",
    )

    @classmethod
    def of(
        cls, changes: ToldChanges, why: ToldWhy, *, beside: int | None, zone: str
    ) -> ChangesAnswer:
        """Return the answer for what one plan does otherwise than another.

        Args:
            changes: What that is.
            why: Says why a task stands elsewhere or is gone.
            beside: Version of the other; None for one that is not kept.
            zone: The shop's.
        """
        return cls(
            beside=beside,
            moved=[
                MovedTask(before=was, after=stands, why=why(before, after))
                for before, after in changes.moved
                for was, stands in [task_answers((before, after), zone)]
            ],
            new=task_answers(changes.new, zone),
            gone=task_answers(changes.gone, zone),
            gone_why=[why.gone(task) for task in changes.gone],
            same=changes.same,
            orders=[FinishChange.of(before, after, zone) for before, after in changes.orders],
            because=list(why.because),
            odds=[
                OddsChange(order=c.order, before=c.before, after=c.after, at_risk=c.at_risk)
                for c in changes.chances
            ],
        )
