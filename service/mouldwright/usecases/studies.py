"""Questions at length: asked for, taken up by a worker, answered, and read.

Each is a run of a subject of its own, watched and stopped like the making of a plan.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from hashlib import blake2b

from mouldwright.domain.errors import Conflict, Fault, InvalidInput, NotFound
from mouldwright.usecases.booked_shop import basis_of, read_booked
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.once import once
from mouldwright.usecases.promise_ports import PromiseWriting
from mouldwright.usecases.services import Services
from mouldwright.usecases.try_order import wanted_of

ONE_MORE = "one more"
MOULDS = "moulds"
TRY = "try"
# Each plan of a question is searched for no longer than this, seconds.
LONGEST_EACH = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What became of a question.

    Attributes:
        run: As it stands.
        answer: As JSON; None where there is none.
        is_current: Whether the shop and its orders are as they were when it was taken up.
    """

    run: Run
    answer: str | None
    is_current: bool


def moulds_subject(order: str) -> str:
    """Return the subject of how many moulds an order wants."""
    return f"{MOULDS} {order}"[:250]


# Queues a question in a unit that is open.
Question = Callable[[PromiseWriting], Run]


def one_more_question(services: Services, shop: str, *, seconds: float, seed: int) -> Question:
    """Return the question what one more of something would buy.

    Raises:
        InvalidInput: if each plan should take no time, or too long.
    """
    return _question(services, shop, ONE_MORE, {}, "what one more would buy", seconds, seed)


def moulds_question(
    services: Services, shop: str, order: str, *, most: int | None, seconds: float, seed: int
) -> Question:
    """Return the question how many moulds an order wants.

    Raises:
        Unknown: if there is no such shop.
        NotFound: if it has no such open order.
        InvalidInput: if each plan should take no time, or too long.
    """
    booked = read_booked(services.units, shop, services.written).without()
    known = [each.number for each in booked.orders]
    if order not in known:
        raise NotFound(kind="order", key=order, known=known)
    ask = {"order": order, "most": most}
    why = f"how many moulds order {order} wants"
    return _question(services, shop, moulds_subject(order), ask, why, seconds, seed)


def try_question(
    services: Services,
    shop: str,
    *,
    part: str,
    process: str | None,
    quantity: int,
    by: str | None,
    weight: int = 1,
    seconds: float,
    seed: int,
) -> Question:
    """Return the question how one more order could be taken, with every option.

    Raises:
        Unknown: if there is no such shop.
        NotFound: if it has no such part or process.
        InvalidInput: if a date or quantity cannot be, or each plan should take no time, or too
            long.
    """
    booked = read_booked(services.units, shop, services.written).without()
    wanted_of(booked, part=part, process=process, quantity=quantity, by=by, weight=weight)
    ask = _try_ask(part=part, process=process, quantity=quantity, by=by, weight=weight)
    why = f"how {quantity} of {part} could be taken"
    return _question(services, shop, _try_subject(ask), ask, why, seconds, seed)


def try_subject(
    *, part: str, process: str | None, quantity: int, by: str | None, weight: int = 1
) -> str:
    """Return the subject of how an order could be taken."""
    return _try_subject(
        _try_ask(part=part, process=process, quantity=quantity, by=by, weight=weight)
    )


def _try_ask(
    *, part: str, process: str | None, quantity: int, by: str | None, weight: int
) -> dict[str, object]:
    return {
        "part": part, "process": process, "quantity": quantity, "by": by or None, "weight": weight
    }  # fmt: skip


def _try_subject(ask: Mapping[str, object]) -> str:
    """Return the question in short, and a digest of all that is asked, so that none is another."""
    digest = blake2b(json.dumps(ask, sort_keys=True).encode(), digest_size=8).hexdigest()
    return f"{TRY} {ask['quantity']} {ask['part']}"[:230] + f" {digest}"


def ask(services: Services, shop: str, question: Question) -> Run:
    """Queue a question; one of its subject that waits already will do. Raises Unknown."""
    with services.units.write(shop) as unit:
        run = question(unit)
        unit.commit()
    return run


def ask_once(
    services: Services,
    shop: str,
    question: Question,
    *,
    asked: Asked,
    present: Callable[[Run], Reply],
) -> Reply:
    """Queue a question once however often it is sent with one key. Raises Unknown."""
    return once(
        services.units.write(shop),
        asked,
        lambda unit: present(question(unit)),
        now=services.clock(),
    )


def _question(
    services: Services,
    shop: str,
    subject: str,
    ask: Mapping[str, object],
    why: str,
    seconds: float,
    seed: int,
) -> Question:
    if not 0 < seconds <= LONGEST_EACH:
        raise InvalidInput(
            [
                Fault(
                    path="seconds",
                    value=str(seconds),
                    problem="that is no time to search each plan for.",
                    remedy=f"Give more than 0 and at most {LONGEST_EACH:.0f}.",
                )
            ]
        )
    run = Run(
        id=services.chance(),
        shop=shop,
        state="waiting",
        why=why,
        seconds=seconds,
        seed=seed,
        asked_at=services.clock(),
        publishes=False,
        subject=subject,
        ask=json.dumps(ask),
    )
    return lambda unit: unit.runs.ask(run)


def read_answer(services: Services, shop: str, run_id: str) -> Answered:
    """Return what a question was answered.

    Raises:
        Unknown: if there is no such run.
        Conflict: if it is the making of a plan.
    """
    with services.units.read(shop) as unit:
        run = unit.runs.by_id(run_id)
        answer = unit.runs.answer(run_id)
        basis = basis_of(unit)
    if run.is_plan:
        raise Conflict(
            "This run makes a plan and answers no question.",
            remedy="Read its plan.",
            stands="a plan",
        )
    return Answered(run=run, answer=answer, is_current=run.basis == basis)


def newest(services: Services, shop: str, subject: str) -> Answered | None:
    """Return the newest run of a subject, with the newest answer to it; None where none is.

    Raises:
        Unknown: if there is no such shop.
    """
    with services.units.read(shop) as unit:
        runs = unit.runs.listed(limit=10, subject=subject)
        basis = basis_of(unit)
        for run in runs:
            answer = unit.runs.answer(run.id)
            if answer is not None:
                current = run.basis == basis
                under_way = runs[0] if not runs[0].ended else run
                return Answered(run=under_way, answer=answer, is_current=current)
    return Answered(run=runs[0], answer=None, is_current=False) if runs else None
