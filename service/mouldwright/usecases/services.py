"""All that a face of the service needs, put together once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import Protocol

from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.enquiry import Finish, finish_by_rate
from mouldwright.usecases.guesses import Guesses
from mouldwright.usecases.pinned_plan import plan_that_holds
from mouldwright.usecases.ports import Chance, Clock, Written
from mouldwright.usecases.promise_ports import PromiseUnits


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What is taken at once, and how long things hold.

    Attributes:
        body_bytes: Longest request body.
        quantity: Most good parts of one question.
        token_days: How long a token holds.
        sign_in_minutes: How long a one-time link holds.
        threads: Requests worked on at once.
    """

    body_bytes: int = 2_000_000
    quantity: int = 100_000
    token_days: int = 90
    sign_in_minutes: int = 15
    threads: int = 20


class FinishBeside(Protocol):
    """A ``Finish`` that is told which plan holds."""

    def __call__(
        self,
        shop: Shop,
        part: str,
        process: str | None,
        quantity: int,
        now: int,
        *,
        held: Plan | None = None,
    ) -> ReadyBy:
        """Return when an order would be ready."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Services:
    """The ports, filled.

    Attributes:
        units: Opens units of work.
        written: Turns shops into documents and back.
        clock: Tells the time.
        chance: Makes what nobody can guess.
        limits: What is taken at once.
        alive: Raises where the store cannot be reached.
        called: Names by which the service may be called.
        finish: Gives the minute an order is ready on top of what is booked.
        beside: The same beside the plan that holds; None where that is taken no heed of.
        public_address: Where people reach the service; empty for where a request came by.
        guesses: Holds up who tries wrong codes and secret addresses.
        hurried: Gives the minute an order is ready that goes before what is booked.
    """

    units: PromiseUnits
    written: Written
    clock: Clock
    chance: Chance
    limits: Limits
    alive: Callable[[], None]
    called: tuple[str, ...]
    finish: Finish = finish_by_rate
    beside: FinishBeside | None = None
    public_address: str = ""

    def address(self, came_by: str) -> str:
        """Return where people reach the service, without a slash behind it.

        Args:
            came_by: The address that a request came by.
        """
        return (self.public_address or came_by).rstrip("/")

    def finish_in(self, shop: str) -> Finish:
        """Return what says when one more order of a shop is ready, beside the plan that holds.

        Raises:
            Unknown: if there is no such shop.
        """
        held = None if self.beside is None else plan_that_holds(self.units, shop)
        if self.beside is None or held is None:
            return self.finish
        return partial(self.beside, held=held)

    hurried: Finish = finish_by_rate
    guesses: Guesses = field(default_factory=Guesses)
