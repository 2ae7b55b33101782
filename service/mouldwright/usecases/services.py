"""All that a face of the service needs, put together once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from threading import Event

from mouldwright.domain.record.audit_entry import Actor
from mouldwright.usecases.enquiry import FinishBeside, finish_by_rate
from mouldwright.usecases.guesses import Guesses
from mouldwright.usecases.lessons import Lessons
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
        finish: Gives the minute an order is ready on top of what is booked, beside the plan that
            holds.
        public_address: Where people reach the service; empty for where a request came by.
        guesses: Holds up who tries wrong codes and secret addresses.
        stopping: Set once the service is told to stop; what would go on for long ends by it.
        lessons: Remembers what the log of each shop teaches.
        hurried: Gives the minute an order is ready that goes before what is booked.
    """

    units: PromiseUnits
    written: Written
    clock: Clock
    chance: Chance
    limits: Limits
    alive: Callable[[], None]
    called: tuple[str, ...]
    finish: FinishBeside = finish_by_rate
    public_address: str = ""

    def address(self, came_by: str) -> str:
        """Return where people reach the service, without a slash behind it.

        Args:
            came_by: The address that a request came by.
        """
        return (self.public_address or came_by).rstrip("/")

    def acting(self, actor: Actor) -> Services:
        """Return the same for someone, whose changes are noted as theirs."""
        return replace(self, units=self.units.by(actor, self.clock))

    hurried: FinishBeside = finish_by_rate
    guesses: Guesses = field(default_factory=Guesses)
    stopping: Event = field(default_factory=Event)
    lessons: Lessons = field(default_factory=Lessons)
