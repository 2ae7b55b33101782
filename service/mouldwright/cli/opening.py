"""What every command does first: read the scenario, say what is wrong, know the time."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from mouldwright.domain.shop import Shop
from mouldwright.scenario.demo import demo_names, demo_path
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.enquiry import Finish


def open_shop(scenario: str) -> Shop:
    """Return the shop of a scenario file or folder, or of a demo by its name.

    Raises:
        InvalidInput: with every fault found.
    """
    path = Path(scenario)
    if not path.exists() and scenario in demo_names():
        path = demo_path(scenario)
    return read_scenario(path).shop


def clock() -> datetime:
    """Return the present by the machine's clock."""
    return datetime.now(UTC)


def finish_by(*, by_rate: bool) -> Finish:
    """Return how lead times are found: by the planner, or by the rate alone."""
    if by_rate:
        from mouldwright.usecases.enquiry import finish_by_rate

        return finish_by_rate
    from mouldwright.usecases.planned import finish_on_top

    return finish_on_top


def hurried_by(*, by_rate: bool) -> Finish:
    """Return how the date of an order is found that goes before what is booked."""
    if by_rate:
        return finish_by(by_rate=True)
    from mouldwright.usecases.planned import finish_first

    return finish_first
